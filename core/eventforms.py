"""The form of what an event of the log holds: lists, counts, numbers and words, whatever the job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import inf
from numbers import Integral, Real
from typing import Any

from core.errors import InputError

WORDS = ("touching", "beyond")


def plain(gap: Any) -> Any:
    """Numbers of any numeric library as plain ones; anything else is left for the check to refuse."""
    return float(gap) if isinstance(gap, Real) and not isinstance(gap, bool) else gap


def plains(values: Any) -> Any:
    """The same of a list."""
    if not isinstance(values, Iterable) or isinstance(values, str | Mapping):
        return values
    return [plain(value) for value in values]


def whole(strokes: Any) -> Any:
    """Counts of any numeric library as plain ones."""
    if not isinstance(strokes, Iterable) or isinstance(strokes, str):
        return strokes
    return [int(m) if isinstance(m, Integral) and not isinstance(m, bool) else m for m in strokes]


def check_strokes(event: Mapping[str, Any], field: str) -> None:
    """A bite, and whole strokes. Raises InputError naming what is wrong."""
    if not isinstance(event["bite"], str):
        raise InputError(f"{field}.bite", event["bite"], "the name of a bite is wanted")
    strokes = event["strokes"]
    if not isinstance(strokes, Sequence) or isinstance(strokes, str):
        raise InputError(f"{field}.strokes", strokes, "a list of whole numbers is wanted")
    for i, m in enumerate(strokes):
        check_count(m, f"{field}.strokes[{i}]")


def check_count(m: Any, field: str) -> None:
    """A whole number of strokes. Raises InputError naming what is wrong."""
    if isinstance(m, bool) or not isinstance(m, int | float) or not 0 <= m < inf or m != int(m):
        raise InputError(field, m, "a whole number from 0 up is wanted")


def _check_gap(gap: Any, field: str) -> None:
    if gap is None or (isinstance(gap, str) and gap in WORDS):
        return
    if isinstance(gap, bool) or not isinstance(gap, int | float) or gap != gap or abs(gap) == float("inf"):
        raise InputError(field, gap, "a number in mm, 'touching', 'beyond' or nothing is wanted")


def check_gaps(event: Mapping[str, Any], field: str) -> None:
    """A round of gaps. Raises InputError naming what is wrong."""
    gaps = event["gaps_mm"]
    if not isinstance(gaps, Sequence) or isinstance(gaps, str):
        raise InputError(f"{field}.gaps_mm", gaps, "a list with one entry a station is wanted")
    for i, gap in enumerate(gaps):
        _check_gap(gap, f"{field}.gaps_mm[{i}]")


def check_one_gap(event: Mapping[str, Any], field: str) -> None:
    """One gap. Raises InputError naming what is wrong."""
    station = event["station"]
    if isinstance(station, bool) or not isinstance(station, int) or station < 0:
        raise InputError(f"{field}.station", station, "the number of a station, from 0, is wanted")
    _check_gap(event["gap_mm"], f"{field}.gap_mm")


def check_bow(event: Mapping[str, Any], field: str) -> None:
    """A bow. Raises InputError naming what is wrong."""
    bow = event["bow_mm"]
    if isinstance(bow, bool) or not isinstance(bow, int | float) or not -inf < bow < inf:
        raise InputError(f"{field}.bow_mm", bow, "a number in mm, of either sign, is wanted")


def check_rim(event: Mapping[str, Any], field: str) -> None:
    """Angles and diameters, as many of the one as of the other. Raises InputError naming what is wrong."""
    _check_across(event, field, "diameters_mm", "diameter")


def check_heights(event: Mapping[str, Any], field: str) -> None:
    """The same of heights of the rim."""
    _check_across(event, field, "heights_mm", "height")


def _check_across(event: Mapping[str, Any], field: str, values: str, one: str) -> None:
    for key in ("at_deg", values):
        if not isinstance(event[key], Sequence) or isinstance(event[key], str):
            raise InputError(f"{field}.{key}", event[key], f"a list, one entry a {one}, is wanted")
    angles, read = len(event["at_deg"]), len(event[values])
    if angles != read:
        wanted = f"as many as there are angles, {angles}, are wanted"
        raise InputError(f"{field}.{values}", f"{read} entries", wanted)


def check_check(event: Mapping[str, Any], field: str) -> None:
    """A reading of a check: name, value, uncertainty, photo. Raises InputError naming what is wrong."""
    if not isinstance(event["check"], str) or not event["check"].strip():
        raise InputError(f"{field}.check", event["check"], "the name of a check is wanted")
    for key in ("value", "sd"):
        value = event.get(key, 0.0)
        if not (key == "value" and isinstance(value, str)) and not _is_finite(value):
            raise InputError(f"{field}.{key}", value, "a number in the unit of the check is wanted")
    if event.get("sd", 0.0) < 0.0:
        raise InputError(f"{field}.sd", event["sd"], "0 or more is wanted")
    if "photo" in event:
        _check_photo(event["photo"], f"{field}.photo")


def _is_finite(value: Any) -> bool:
    return not isinstance(value, bool) and isinstance(value, int | float) and -inf < value < inf


def _check_photo(path: Any, field: str) -> None:
    """A file below the data folder, so that a folder that is copied keeps its pictures."""
    parts = path.split("/") if isinstance(path, str) else [""]
    if any(part.strip() in ("", ".", "..") or "\\" in part or ":" in part for part in parts):
        wanted = "a file below the data folder is wanted, such as photos/rib-3.jpg"
        raise InputError(field, path, wanted)
