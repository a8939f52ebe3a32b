"""The machine between form and document: some of its fields are one end of a pair, or one metal of many."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from shopapp.presenters.setup_fields import MACHINE

PAIRS = tuple(dict.fromkeys(field.name.partition("[")[0] for field in MACHINE if "[" in field.name))
"""paths of the pairs in a job's document"""


def document(typed: Mapping[str, str]) -> dict[str, Any]:
    """The machine of what is typed, by path within it; of two ends that belong together the one that is blank
    is asked for."""
    made: dict[str, Any] = {}
    for path, text in typed.items():
        end = re.fullmatch(r"(\w+)\[(\d)\]", path)
        part, _, name = path.partition(".")
        if end:
            made.setdefault(end[1], ["", ""])[int(end[2])] = text
        elif name:
            made.setdefault(part, {})[name] = text
        else:
            made[path] = text
    return made


def ends(given: Mapping[str, Any]) -> dict[str, Any]:
    """Each end of the pairs in a machine's document by its path within that, its unit in the name."""
    found: dict[str, Any] = {}
    for name in (pair.partition(".")[2] for pair in PAIRS):
        unit = "" if name in given else "_mm"
        values = enumerate(given.get(f"{name}{unit}", ()))
        found |= {f"{name}[{i}]{unit}": end for i, end in values}
    return found


def place(path: str) -> str:
    """The field that a path of a document stands for: what is wrong with a pair is said at its first end."""
    return f"{path}[0]" if path.removesuffix("_mm") in PAIRS else path
