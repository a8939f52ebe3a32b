"""Transforms, lengths and the viewBox of SVG (W3C, SVG 1.1, sections 7.6 to 7.10; CSS lengths)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import cos, isfinite, radians, sin, tan
from typing import NoReturn

import numpy as np

from core.dimensions import LENGTH, own_factor
from core.geometry.line import Array
from core.linefiles.errors import wrong_at
from core.linefiles.svgpath import Affine

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,4})?"
_NUMBERS = re.compile(_NUMBER)
_TRANSFORM = re.compile(r"\s*,?\s*([A-Za-z]+)\s*\(([^()]*)\)")
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*([A-Za-z%]*)\s*")
PER_INCH = {"in": 1.0, "pt": 72.0, "pc": 6.0}
METRIC_MM = {"mm": 1.0, "cm": 10.0, "Q": 0.25}
MOST_TRANSFORMS = 100


def transform(text: str, name: str, line: int) -> Affine:
    """The map that a ``transform`` stands for. Raises InputError at its line."""
    affine, place = Affine(), 0
    for _ in range(MOST_TRANSFORMS):
        found = _TRANSFORM.match(text, place)
        if found is None:
            break
        numbers = [float(word) for word in _NUMBERS.findall(found[2])]
        one = _one(found[1], numbers)
        if one is None or not np.isfinite(one.matrix).all() or not np.isfinite(one.shift).all():
            _refuse(found[0].strip(), name, line)
        affine, place = affine.after(one), found.end()
    if text[place:].strip(" \t\r\n,"):
        _refuse(text[place : place + 40], name, line)
    return affine


def _refuse(found: str, name: str, line: int) -> NoReturn:
    wanted = "matrix, translate, scale, rotate, skewX or skewY with its numbers is wanted"
    raise wrong_at(name, line, f"transform {found}", wanted)


def _one(kind: str, n: list[float]) -> Affine | None:
    if kind == "matrix" and len(n) == 6:
        return Affine(np.array([[n[0], n[2]], [n[1], n[3]]]), np.array(n[4:]))
    if kind == "translate" and len(n) in (1, 2):
        return Affine(shift=np.array([n[0], n[1] if len(n) == 2 else 0.0]))
    if kind == "scale" and len(n) in (1, 2):
        return Affine(np.diag([n[0], n[-1]]))
    if kind == "rotate" and len(n) in (1, 3):
        c, s = cos(radians(n[0])), sin(radians(n[0]))
        matrix, about = np.array([[c, -s], [s, c]]), np.array(n[1:] or [0.0, 0.0])
        return Affine(matrix, about - matrix @ about)
    if kind in ("skewX", "skewY") and len(n) == 1:
        lean = tan(radians(n[0]))
        return Affine(np.array([[1.0, lean if kind == "skewX" else 0.0], [lean * (kind == "skewY"), 1.0]]))
    return None


def user_unit(attributes: Mapping[str, str], name: str, line: int) -> tuple[Array, bool]:
    """(2,) mm that one unit of the drawing is along x and y, and whether the file says so.

    It does where width or height have a unit of length, and not where they are pixels, per cent or missing:
    programs do not agree on how many pixels go into an inch. Then (1, 1), or of the ratio that they ask for.
    """
    sizes = [_length_mm(attributes.get(key), name, line) for key in ("width", "height")]
    box = attributes.get("viewBox")
    if box is None:
        known = any(size is not None for size in sizes)
        if known:
            wanted = "a viewBox beside it is wanted: without one a unit of the drawing is a pixel"
            raise wrong_at(name, line, f"width {attributes.get('width')}", wanted)
        return np.ones(2), False
    _, _, wide, high = _box(box, name, line)
    scales = [size / side for size, side in zip(sizes, (wide, high), strict=True) if size is not None]
    if not scales:
        return np.ones(2), False
    stretched = attributes.get("preserveAspectRatio", "").split()[:1] == ["none"]
    if stretched and len(scales) == 2:
        return np.array(scales), True
    return np.full(2, min(scales)), True


def _box(text: str, name: str, line: int) -> list[float]:
    numbers = [float(word) for word in _NUMBERS.findall(text)]
    if len(numbers) != 4 or min(numbers[2:]) <= 0.0 or not all(isfinite(n) for n in numbers):
        raise wrong_at(
            name, line, f"viewBox {text[:40]}", "four numbers, width and height above 0, are wanted"
        )
    return numbers


def _length_mm(text: str | None, name: str, line: int) -> float | None:
    """A width or height in mm; None where it is missing, in pixels or in per cent."""
    if text is None:
        return None
    found = _LENGTH.fullmatch(text)
    if found is None or not 0.0 < float(found[1]) < 1e9:
        raise wrong_at(name, line, text, "a width or height such as '210mm' is wanted")
    unit = found[2]
    if unit in METRIC_MM:
        return float(found[1]) * METRIC_MM[unit]
    if unit in PER_INCH:
        return float(found[1]) * own_factor("in", LENGTH) / PER_INCH[unit]
    return None


def number(text: str | None, name: str, line: int, missing: float = 0.0) -> float:
    """A coordinate in units of the drawing. Raises InputError at its line."""
    if text is None:
        return missing
    found = _LENGTH.fullmatch(text)
    if found is None or found[2] not in ("", "px") or not isfinite(float(found[1])):
        raise wrong_at(name, line, text, "a plain number is wanted")
    return float(found[1])
