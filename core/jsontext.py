"""JSON text in and out, strictly: nothing is read that could mean something else.

What JSON libraries let pass is refused here: NaN and infinities, a field given twice (the first
would be lost), nesting without end.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

from core.errors import InputError
from core.units import quantity_text

WHOLE = "document"
DEEPEST = 12  # a job needs five levels
MOST_ENTRIES = 500_000


def read_json(text: str | bytes, field: str = WHOLE) -> Any:
    """The value that a JSON text (UTF-8) holds.

    Raises InputError for an empty text, for what is not JSON (with line and column), for a field
    given twice, for numbers that are not finite, and for nesting deeper than any document has.
    """
    plain = _decoded(text, field)
    if not plain.strip():
        raise InputError(field or WHOLE, plain[:20], "it is empty; a JSON document is wanted")
    try:
        value = json.loads(plain, object_pairs_hook=_once, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise InputError(
            field or WHOLE, _near(plain, error.pos), f"it is not JSON at {where}: {error.msg}"
        ) from error
    except _Refused as error:
        raise InputError(field or WHOLE, error.shown, error.expected) from error
    except RecursionError as error:
        raise InputError(field or WHOLE, plain[:20], "it is nested too deep to be a document") from error
    except ValueError as error:  # a whole number of thousands of digits
        raise InputError(field or WHOLE, plain[:20], "a number in it is too long to be one") from error
    return json_ready(value, "")


def write_json(value: Any) -> str:
    """JSON text of a JSON-ready value, indented so that it can be read and compared line by line."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1)


def json_ready(value: Any, field: str = "", depth: int = 0) -> Any:
    """A copy of ``value`` made of dict, list, str, int, float, bool and None only.

    Tuples and numpy arrays become lists, numpy numbers plain ones, Pint quantities text with their
    unit. field : path of the value, empty for the whole. Raises InputError for anything else, for
    numbers that are not finite and for deep nesting.
    """
    if depth > DEEPEST:
        raise InputError(field or WHOLE, "...", f"at most {DEEPEST} levels of nesting are wanted")
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return _writable(value, field)
    if isinstance(value, int | float):
        return _number(value, field)
    if isinstance(value, Mapping):
        return _mapping(value, field, depth)
    if hasattr(value, "magnitude") and hasattr(value, "units"):
        return quantity_text(value, field)
    if hasattr(value, "tolist"):  # numpy arrays and scalars
        return json_ready(value.tolist(), field, depth)
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray):
        return _sequence(value, field, depth)
    shown = f"a value of type {type(value).__name__}"
    raise InputError(field or WHOLE, shown, "text, numbers, lists and named fields are wanted")


def _writable(value: str, field: str) -> str:
    try:
        value.encode("utf-8")
    except UnicodeEncodeError as error:  # half of a surrogate pair: no file could hold it
        raise InputError(
            field or WHOLE, ascii(value)[:60], "text that can be written in UTF-8 is wanted"
        ) from error
    return value


def _mapping(value: Mapping[Any, Any], field: str, depth: int) -> dict[str, Any]:
    copy = {}
    for key, entry in value.items():
        if not isinstance(key, str):
            raise InputError(field or WHOLE, key, "names of fields are text")
        _writable(key, field)
        copy[key] = json_ready(entry, f"{field}.{key}".lstrip(".")[:200], depth + 1)
    return copy


def _sequence(value: Sequence[Any], field: str, depth: int) -> list[Any]:
    if len(value) > MOST_ENTRIES:
        raise InputError(field or WHOLE, "...", f"at most {MOST_ENTRIES} entries are wanted")
    return [json_ready(entry, f"{field}[{i}]", depth + 1) for i, entry in enumerate(value)]


def _number(value: int | float, field: str) -> int | float:
    try:
        finite = math.isfinite(value)
    except OverflowError:
        finite = False
    if not finite:
        shown = value if isinstance(value, float) else "a whole number of hundreds of digits"
        raise InputError(field or WHOLE, shown, "a finite number is wanted")
    return value


class _Refused(Exception):
    """Raised inside the JSON reader, where the path of a field is not known."""

    def __init__(self, shown: str, expected: str) -> None:
        super().__init__(shown, expected)
        self.shown = shown
        self.expected = expected


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _Refused(twice, "this field is given twice in one object; once is wanted")
    return found


def _no_constant(name: str) -> Any:
    raise _Refused(name, "a finite number is wanted")


def _decoded(text: str | bytes, field: str) -> str:
    if isinstance(text, str):
        return text.removeprefix("\ufeff")
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(field or WHOLE, f"byte {error.start}", "text in UTF-8 is wanted") from error


def _near(text: str, place: int) -> str:
    return text[max(0, place - 10) : place + 10]
