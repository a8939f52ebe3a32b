"""Figures of a DXF drawing in text form, by the package ezdxf (the extra "drawings").

Lines, arcs, circles, ellipses, polylines with their bulges and splines of the model space, also those in
blocks, seen from above.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import numpy as np

from core.dimensions import LENGTH, own_factor
from core.errors import InputError
from core.geometry.line import Array
from core.linefiles.drawn import Drawn
from core.linefiles.errors import wrong_at
from core.linefiles.figure import MOST_PIECES, Figure
from core.linefiles.pieces import Piece, curve, elliptic, straight

# $INSUNITS of the DXF reference; 14 are decimetres.
UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 9: "thou", 13: "um"}
DECIMETRES = 14
LEVEL = 1e-6  # share of its size that a figure may rise out of the plane
DEEPEST = 8  # blocks in blocks
SPAN_CHORDS = 128  # that the length of one span of a spline is summed over
MOST_SPANS = 2000
MOST_ENTITIES = 40_000  # in the whole text, headings and points of old polylines among them
Made = list[tuple[Piece, ...]]


def read_dxf(text: str, name: str) -> Drawn:
    """The figures of a DXF text. Raises InputError, naming the file's line where it is known."""
    try:
        import ezdxf
    except ImportError as error:
        wanted = "the package ezdxf is wanted for DXF: pip install 'gapwright[drawings]'"
        raise InputError(name, "a DXF file", wanted) from error
    _refuse_too_many(text, name)
    try:
        document = ezdxf.read(_Lines(text))
        reader = _Reader(text, name)
        off = {layer.dxf.name.lower() for layer in document.layers if layer.is_off() or layer.is_frozen()}
        for entity in document.modelspace():
            reader.take(entity, off)
        return reader.drawn(_unit_mm(int(document.header.get("$INSUNITS", 0))))
    except InputError:
        raise
    except _FOREIGN as error:  # what a package says of a damaged file is not ours to foresee
        told = " ".join(str(error).split()) or type(error).__name__
        raise InputError(name, told[:80], "a DXF drawing in text form is wanted") from error
    except ezdxf.DXFError as error:
        told = " ".join(str(error).split())
        raise InputError(name, told[:80], "a sound DXF drawing in text form is wanted") from error


def _refuse_too_many(text: str, name: str) -> None:
    """Every entity begins with group code 0; to count them is cheap, to read them is not."""
    begins = [i for i, code in enumerate(text.splitlines()[::2]) if code.strip() == "0"]
    if len(begins) > MOST_ENTITIES:
        line = 2 * begins[MOST_ENTITIES] + 1
        wanted = f"at most {MOST_ENTITIES} entities are wanted; save the line that is meant alone"
        raise wrong_at(name, line, f"{len(begins)} entities", wanted)


def _unit_mm(code: int) -> float | None:
    if code == DECIMETRES:
        return 100.0
    return own_factor(UNITS[code], LENGTH) if code in UNITS else None


_FOREIGN = (
    *(ValueError, TypeError, LookupError, AttributeError, ArithmeticError),
    *(RecursionError, StopIteration, AssertionError),
)


class _Aslant(Exception):
    """An entity whose z is not the same all along."""


class _Lines:
    """What ezdxf reads from, in place of a file."""

    def __init__(self, text: str) -> None:
        self._lines = iter(text.splitlines(keepends=True))

    def readline(self) -> str:
        return next(self._lines, "")


class _Reader:
    """Takes the entities of the model space one after the other."""

    def __init__(self, text: str, name: str) -> None:
        self._name, self._places = name, _places(text)
        self._figures: list[Figure] = []
        self._pieces = 0
        self._left: Counter[str] = Counter()

    def take(self, entity: Any, off: set[str]) -> None:
        """One entity; off : layers that are not shown."""
        place = self._places.get(str(entity.dxf.handle).upper(), 0)
        for one in self._flat(entity, place, 0):
            kind, layer = one.dxftype(), str(one.dxf.get("layer", "0"))
            if layer.lower() in off or kind not in _MADE:
                self._left[kind if kind not in _MADE else f"{kind} on a hidden layer"] += 1
                continue
            try:
                made = _MADE[kind](one, place)
            except _Aslant:
                self._left[f"{kind} that does not lie in the plane"] += 1
                continue
            for pieces in made:
                self._count(len(pieces), place)
                self._check(pieces, kind, place)
                self._figures.append(Figure(pieces, f"{kind} on layer {layer}", layer))

    def drawn(self, factor: float | None) -> Drawn:
        """All of it. factor : mm in its unit, None where it says none"""
        left = tuple(f"Left out: {count} x {kind}." for kind, count in sorted(self._left.items()))
        return Drawn(tuple(self._figures), factor, left)

    def _flat(self, entity: Any, place: int, depth: int) -> Iterator[Any]:
        """The entity, or those of the block that it stands for."""
        if entity.dxftype() != "INSERT":
            yield entity
            return
        if depth >= DEEPEST:
            raise wrong_at(self._name, place, "INSERT", f"at most {DEEPEST} blocks in each other are wanted")
        for inner in entity.virtual_entities():
            self._count(1, place)
            yield from self._flat(inner, place, depth + 1)

    def _count(self, more: int, place: int) -> None:
        self._pieces += more
        if self._pieces > MOST_PIECES:
            raise wrong_at(
                self._name, place, "the drawing", f"at most {MOST_PIECES} pieces of lines are wanted"
            )

    def _check(self, pieces: tuple[Piece, ...], kind: str, place: int) -> None:
        if not all(np.isfinite(piece.length) for piece in pieces):
            raise wrong_at(self._name, place, kind, "finite coordinates are wanted")


def _places(text: str) -> dict[str, int]:
    """Line of each handle (group code 5), counted from 1."""
    lines = text.splitlines()
    return {
        value.strip().upper(): 2 * i + 1
        for i, (code, value) in enumerate(zip(lines[::2], lines[1::2], strict=False))
        if code.strip() == "5"
    }


def _line(entity: Any, place: int) -> Made:
    start, end = entity.dxf.start, entity.dxf.end
    _level([start.z, end.z], abs(end - start))
    if tuple(start) == tuple(end):
        return []
    return [(straight((start.x, start.y), (end.x, end.y), place),)]


def _arc(entity: Any, place: int) -> Made:
    """Where it is seen from below it turns the other way."""
    first, last = (float(np.radians(angle)) for angle in (entity.dxf.start_angle, entity.dxf.end_angle))
    return _round(entity, first, (last - first) % (2.0 * np.pi) or 2.0 * np.pi, place)


def _circle(entity: Any, place: int) -> Made:
    return _round(entity, 0.0, 2.0 * np.pi, place)


def _round(entity: Any, first: float, sweep: float, place: int) -> Made:
    ocs, radius = entity.ocs(), float(entity.dxf.radius)
    centre, along, across = (
        ocs.to_wcs(v) for v in (entity.dxf.center, (radius, 0.0, 0.0), (0.0, radius, 0.0))
    )
    return [_elliptic(centre, along, across, first, sweep, place)]


def _ellipse(entity: Any, place: int) -> Made:
    first, last = float(entity.dxf.start_param), float(entity.dxf.end_param)
    sweep = (last - first) % (2.0 * np.pi) or 2.0 * np.pi
    dxf = entity.dxf
    return [_elliptic(dxf.center, dxf.major_axis, entity.minor_axis, first, sweep, place)]


def _elliptic(
    centre: Any, along: Any, across: Any, first: float, sweep: float, place: int
) -> tuple[Piece, ...]:
    _level([0.0, along.z, across.z], max(abs(along), abs(across)))
    axes = np.array([[along[0], across[0]], [along[1], across[1]]], dtype=float)
    return (elliptic(np.array([centre[0], centre[1]], dtype=float), axes, first, sweep, place),)


def _light_polyline(entity: Any, place: int) -> Made:
    return _with_bulges(entity.ocs(), entity.get_points("xyb"), bool(entity.closed), place)


def _polyline(entity: Any, place: int) -> Made:
    """One in a plane or in space; one that is a mesh is no line."""
    if entity.is_2d_polyline:
        points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
        return _with_bulges(entity.ocs(), points, bool(entity.is_closed), place)
    if not entity.is_3d_polyline:
        return []
    places = [v.dxf.location for v in entity.vertices]
    points = [(p.x, p.y, 0.0) for p in places]
    _level([p.z for p in places], float(np.max(np.ptp(np.array(points), axis=0))))
    return _with_bulges(entity.ocs(), points, bool(entity.is_closed), place)


def _with_bulges(ocs: Any, points: list[tuple[float, float, float]], closed: bool, place: int) -> Made:
    """Straights and arcs; a bulge is the tangent of a quarter of the arc's angle, > 0 turns left."""
    along, across = ocs.to_wcs((1.0, 0.0, 0.0)), ocs.to_wcs((0.0, 1.0, 0.0))
    _level([0.0, along[2], across[2]], 1.0)
    matrix = np.array([[along[0], across[0]], [along[1], across[1]]], dtype=float)
    ends = [*points[1:], points[0]] if closed else points[1:]
    pieces = [
        _bulged(np.array(start[:2]), np.array(end[:2]), start[2], matrix, place)
        for start, end in zip(points, ends, strict=False)
        if tuple(start[:2]) != tuple(end[:2])
    ]
    return [tuple(pieces)] if pieces else []


def _bulged(start: Array, end: Array, bulge: float, matrix: Array, place: int) -> Piece:
    if bulge == 0.0:
        return straight(matrix @ start, matrix @ end, place)
    half = 0.5 * (end - start)
    centre = start + half + np.array([-half[1], half[0]]) * (1.0 - bulge**2) / (2.0 * bulge)
    arm = start - centre
    axes = float(np.hypot(*arm)) * matrix
    return elliptic(matrix @ centre, axes, float(np.arctan2(arm[1], arm[0])), 4.0 * np.arctan(bulge), place)


def _spline(entity: Any, place: int) -> Made:
    """A piece for every span between its knots."""
    tool = entity.construction_tool()
    points = [(p.x, p.y, p.z) for p in tool.control_points]
    _level([z for _, _, z in points], float(np.max(np.ptp(np.array(points), axis=0))))
    knots, order = np.array(tool.knots()), tool.order
    inner = np.unique(knots[order - 1 : len(knots) - order + 1])
    if len(inner) > MOST_SPANS + 1:
        raise InputError("SPLINE", f"{len(inner) - 1} spans", f"at most {MOST_SPANS} are wanted")
    spans = pairwise(inner)
    return [tuple(curve(_span(tool, low, high), place, SPAN_CHORDS) for low, high in spans)]


def _span(tool: Any, low: float, high: float) -> Callable[[Array], Array]:
    def at(t: Array) -> Array:
        places = np.clip(low + t * (high - low), low, high)
        return np.array([(p.x, p.y) for p in tool.points(places)])

    return at


def _level(heights: list[float], size: float) -> None:
    if max(heights) - min(heights) > LEVEL * size:
        raise _Aslant


_MADE: dict[str, Callable[[Any, int], Made]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
