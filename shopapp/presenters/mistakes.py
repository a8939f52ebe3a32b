"""What went wrong, in plain sentences: without paths of files or fields, without the program's own forms."""

from __future__ import annotations

import errno
import logging
import re
from collections.abc import Mapping
from typing import Any

import core
from shopapp.presenters import wording

AGAIN = "touch again"
ROOM = "there is no room left where the shop's data lies; make room there, then touch again"
CLOSED = "the folder of the shop's data may not be written to; have it opened for writing, then touch again"
TAKEN = "something else lies where its folder should be; have that moved away, then touch again"
WHY = {
    errno.ENOSPC: ROOM,
    errno.EDQUOT: ROOM,
    errno.EACCES: CLOSED,
    errno.EPERM: CLOSED,
    errno.EROFS: CLOSED,
    errno.ENOTDIR: TAKEN,
    errno.EEXIST: TAKEN,
    errno.ENODEV: "the disk with the shop's data is gone; put it back, then touch again",
    errno.EIO: "the disk with the shop's data does not work; use another one before going on",
}
"""what to do, by what the operating system said"""

MOST = 3
"""values in a row that are still said; a longer table is marked where it stands"""

_log = logging.getLogger(__name__)


def sentence(error: Exception) -> str:
    """A complaint as shown to the operator: what is wrong with the value, without the path of the field."""
    if isinstance(error, core.InputError):
        shown = _plain(error.value)
        return f"“{shown}”: {error.expected}" if shown else error.expected
    return str(error)


def in_file(error: core.InputError, name: str) -> str:
    """The same of a field in a file of this name, told in words: "Section, thickness: “40 mm”: ..."."""
    if error.field == name or not error.field:
        return sentence(error)
    if error.field.startswith("events["):
        return in_log(error)
    rows = re.findall(r"\[(\d+)\]", error.field)
    place = f", row {int(rows[0]) + 1}" if rows else ""
    path = re.sub(r"\[\d+\]", "", error.field).split(".")
    what = ", ".join(part.removesuffix("_mm").replace("_", " ") for part in path if part)
    return f"{what[:1].upper()}{what[1:]}{place}: {sentence(error)}"


def in_log(error: core.InputError) -> str:
    """The same of an entry of a log, with its number in words; what is wrong with all of it is no value that
    somebody typed."""
    if error.field == "events" and isinstance(error.value, str):
        return f"{wording.capital(error.value)}. {wording.capital(error.expected)}"
    place = re.match(r"events\[(\d+)\]\.?(\w*)", error.field)
    if place is None:
        return sentence(error)
    field = f", {place[2].replace('_', ' ')}" if place[2] else ""
    return f"Entry {int(place[1]) + 1} of the log{field}: {sentence(error)}"


def not_written(error: core.GapwrightError, what: str = "Not written") -> str:
    """That nothing was taken, why, and what to do. A file is named in the program's log alone."""
    if not isinstance(error, core.StoreError):
        return f"{what}: {sentence(error)}"
    _log.error("%s: %s", what, error)
    cause = error.__cause__
    code = cause.errno if isinstance(cause, OSError) else None
    return f"{what}: {WHY.get(code or 0) or f'{error.what}; {AGAIN}'}"


def _plain(value: Any) -> str:
    """A value as somebody would say it; "" for what nobody typed as one: a whole form, an empty field."""
    if value in (None, "", [], "[]") or isinstance(value, Mapping):
        return ""
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, list | tuple):
        parts = [_plain(part) for part in value]
        simple = all(parts) and not any(isinstance(part, list | tuple) for part in value)
        return "; ".join(parts) if simple and len(parts) <= MOST else ""
    return str(value)
