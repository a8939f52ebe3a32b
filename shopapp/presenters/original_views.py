"""What the screens for originals show: what is read where, the line that it gives, two side by side."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import Fact, Header, Key, Outline
from shopapp.presenters.setup_views import FieldView


@dataclass(frozen=True)
class OriginalView:
    """Measuring an original. fields : how it is read, then one a reading, in the order of taking; outline,
    facts : the line as far as it is known; sentences : what to do; warnings : why there is no line, or what
    lies off it; worn : keys that leave a reading's place out, "worn:FIELD", while it is typed"""

    header: Header
    fields: tuple[FieldView, ...]
    keys: tuple[Key, ...]
    outline: Outline | None = None
    facts: tuple[Fact, ...] = ()
    sentences: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    worn: tuple[Key, ...] = ()
    complaint: str = ""
    go: str = ""


@dataclass(frozen=True)
class OriginalsView:
    """Two originals. outline : one with the other beside it, magnified; facts : how far they are apart;
    sentences : what that says"""

    header: Header
    keys: tuple[Key, ...]
    outline: Outline | None = None
    facts: tuple[Fact, ...] = ()
    sentences: tuple[str, ...] = ()
    complaint: str = ""
    go: str = ""
