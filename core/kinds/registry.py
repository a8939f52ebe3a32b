"""Every kind of part that a job can be of, by the name that its document gives."""

from __future__ import annotations

from collections.abc import Callable

from core.jobfields import Fields
from core.kinds.base import Part
from core.kinds.dish_document import dish_part
from core.kinds.flange_document import flange_part
from core.kinds.section_document import section_part
from core.kinds.setting import Setting

KINDS: dict[str, Callable[[Fields, Setting], Part]] = {
    "section": section_part,
    "flange": flange_part,
    "dish": dish_part,
}
