"""All that is wrong with a job document at once, though the core names one thing at a time."""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

import core

MOST = 40
"""complaints gathered at most; no form has more fields"""


@dataclass(frozen=True)
class Checked:
    """job : with every field complained of replaced by a harmless one, None when that did not help;
    complaints : what is wrong, in the order found; waiting : fields that can be judged only once the sizes
    that they go with are typed"""

    job: core.Job | None
    complaints: tuple[core.InputError, ...]
    waiting: frozenset[str] = frozenset()

    def right(self, *parts: str) -> bool:
        """Whether nothing in these parts of the document is wrong or waits to be judged."""
        return not any(field.startswith(parts) for field in (*self.waiting, *self._wrong()))

    def _wrong(self) -> tuple[str, ...]:
        return tuple(error.field for error in self.complaints)


def checked(document: Mapping[str, Any], harmless: Mapping[str, Any]) -> Checked:
    """Ask the core for the job again and again, each time with the field that it named replaced.

    harmless : a document of the same form in which every field is good and goes with almost any other. A
    complaint that names one of its sizes, which nobody typed, waits until that field is right; what it says
    besides is said at once.
    """
    trial = deepcopy(dict(document))
    found: list[core.InputError] = []
    made_up: set[str] = set()
    waiting: set[str] = set()
    while len(found) < MOST:
        try:
            return Checked(core.job(trial), tuple(found), frozenset(waiting))
        except core.InputError as error:
            said = [s for s in error.expected.split(". ") if not any(size in s for size in made_up)]
            if said:
                found.append(core.InputError(error.field, error.value, ". ".join(said)))
            else:
                waiting.add(error.field)
            if error.value in (None, ""):
                made_up |= _size(harmless, error.field)
            if not _replace(trial, harmless, error.field):
                break
    return Checked(None, tuple(found), frozenset(waiting))


def _size(harmless: Mapping[str, Any], field: str) -> set[str]:
    """The harmless size of a field as a complaint would name it; none for what is no size."""
    value: Any = harmless
    for key in field.split("."):
        value = value.get(key) if isinstance(value, Mapping) else None
    try:
        return {core.format_length(core.parse_length_mm(value, field))}
    except core.InputError:
        return set()


def _replace(trial: dict[str, Any], harmless: Mapping[str, Any], field: str) -> bool:
    """Put the harmless value in; False when the field is as harmless as it can be already."""
    keys = re.sub(r"\[.*", "", field).split(".")
    inner, good = trial, harmless
    for key in keys[:-1]:
        if not isinstance(inner.get(key), dict) or not isinstance(good.get(key), Mapping):
            return False
        inner, good = inner[key], good[key]
    last = keys[-1]
    if last not in good:
        return inner.pop(last, None) is not None
    if inner.get(last) == good[last]:
        return False
    inner[last] = deepcopy(good[last])
    return True
