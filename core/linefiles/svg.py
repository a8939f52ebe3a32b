"""Figures of an SVG drawing (W3C, SVG 1.1): paths, lines, polylines, polygons, circles, ellipses.

Nothing outside the text is ever looked for: a text that declares entities is refused, an external document
type is not fetched. Figures come in units of the drawing along x, y upwards.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any
from xml.parsers import expat

import numpy as np

from core.linefiles.drawn import Drawn
from core.linefiles.errors import wrong_at
from core.linefiles.figure import MOST_PIECES, Figure
from core.linefiles.pieces import elliptic
from core.linefiles.svgpath import Affine, Spot, path_figures
from core.linefiles.svgunits import number, transform, user_unit

DEEPEST = 100
UP = np.diag([1.0, -1.0])
UNSEEN = {"defs", "symbol", "clipPath", "mask", "pattern", "marker"}
PASSED_OVER = {"svg", "g", "a", "title", "desc", "metadata", "style", "switch", "namedview"}
"""elements that draw nothing themselves, and are not worth a word"""


def read_svg(content: bytes, name: str) -> Drawn:
    """The figures of an SVG text. Raises InputError naming the file's line."""
    reader = _Reader(name)
    parser = expat.ParserCreate(namespace_separator=" ")
    reader.line = lambda: parser.CurrentLineNumber
    parser.StartElementHandler, parser.EndElementHandler = reader.begin, reader.end
    parser.EntityDeclHandler = reader.refuse_entity
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        told = expat.ErrorString(error.code)
        raise wrong_at(name, error.lineno, told, "an SVG text is wanted, well-formed XML") from error
    return reader.drawn()


class _Reader:
    """Takes the elements in their order; ``stack`` holds how points inside the open ones are moved, None
    where nothing is drawn."""

    def __init__(self, name: str) -> None:
        self._name = name
        self.line: Callable[[], int] = lambda: 1
        self._stack: list[Affine | None] = []
        self._figures: list[Figure] = []
        self._pieces = 0
        self._left: Counter[str] = Counter()
        self._unit_mm: float | None = None

    def drawn(self) -> Drawn:
        """All of it."""
        left = tuple(f"Left out: {count} x {tag}." for tag, count in sorted(self._left.items()))
        return Drawn(tuple(self._figures), self._unit_mm, left)

    def refuse_entity(self, entity: str, *_: Any) -> None:
        """Entities can blow a small file up to any size, or fetch others."""
        wanted = "a plain SVG without entities is wanted; save it as plain SVG"
        raise wrong_at(self._name, self.line(), f"entity {entity}", wanted)

    def begin(self, full: str, attributes: dict[str, str]) -> None:
        """An element opens."""
        tag = full.rpartition(" ")[2]
        if len(self._stack) >= DEEPEST:
            raise wrong_at(self._name, self.line(), tag, f"at most {DEEPEST} levels are wanted")
        if not self._stack:
            self._stack.append(self._root(tag, attributes))
            return
        outer = self._stack[-1]
        if outer is None or tag in UNSEEN or _hidden(attributes):
            self._stack.append(None)
            return
        if tag == "svg":
            self._left["drawing within the drawing"] += 1
            self._stack.append(None)
            return
        inner = outer.after(transform(attributes.get("transform", ""), self._name, self.line()))
        self._stack.append(inner)
        self._draw(tag, attributes, inner)

    def end(self, _: str) -> None:
        """An element closes."""
        self._stack.pop()

    def _root(self, tag: str, attributes: dict[str, str]) -> Affine:
        if tag != "svg":
            raise wrong_at(self._name, self.line(), f"<{tag}>", "an SVG drawing, <svg>, is wanted")
        scale, known = user_unit(attributes, self._name, self.line())
        self._unit_mm = float(scale[0]) if known else None
        return Affine(UP @ np.diag(scale / scale[0]))

    def _draw(self, tag: str, attributes: dict[str, str], affine: Affine) -> None:
        named = attributes.get("id", "")
        label = f"{tag} {named}" if named and named.isprintable() else tag
        spot = Spot(self._name, self.line(), label)
        if tag in _SHAPES:
            found = _SHAPES[tag](attributes, affine, spot)
            self._figures += found
            self._pieces += sum(len(figure.pieces) for figure in found)
        elif tag not in PASSED_OVER:
            self._left[tag] += 1
        if self._pieces > MOST_PIECES:
            wanted = f"at most {MOST_PIECES} pieces of lines are wanted"
            raise wrong_at(self._name, spot.line, "the drawing", wanted)


def _hidden(attributes: dict[str, str]) -> bool:
    style = attributes.get("style", "").replace(" ", "")
    return attributes.get("display") == "none" or "display:none" in style


def _path(attributes: dict[str, str], affine: Affine, spot: Spot) -> list[Figure]:
    return path_figures(attributes.get("d", ""), affine, spot)


def _line(attributes: dict[str, str], affine: Affine, spot: Spot) -> list[Figure]:
    x1, y1, x2, y2 = (number(attributes.get(k), spot.name, spot.line) for k in ("x1", "y1", "x2", "y2"))
    return path_figures(f"M {x1!r} {y1!r} L {x2!r} {y2!r}", affine, spot)


def _polyline(attributes: dict[str, str], affine: Affine, spot: Spot) -> list[Figure]:
    points = attributes.get("points", "").strip()
    return path_figures(f"M {points}", affine, spot) if points else []


def _polygon(attributes: dict[str, str], affine: Affine, spot: Spot) -> list[Figure]:
    points = attributes.get("points", "").strip()
    return path_figures(f"M {points} Z", affine, spot) if points else []


def _round(attributes: dict[str, str], affine: Affine, spot: Spot) -> list[Figure]:
    """A circle or an ellipse, from its rightmost point on."""
    centre = np.array([number(attributes.get(k), spot.name, spot.line) for k in ("cx", "cy")])
    one = number(attributes.get("r"), spot.name, spot.line)
    radii = [number(attributes.get(k), spot.name, spot.line, one) for k in ("rx", "ry")]
    if min(radii) <= 0.0:
        return []
    axes = affine.matrix @ np.diag(radii)
    whole = elliptic(affine(centre), axes, 0.0, 2.0 * np.pi, spot.line)
    return [Figure((whole,), spot.label)]


_SHAPES: dict[str, Callable[[dict[str, str], Affine, Spot], list[Figure]]] = {
    "path": _path,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
    "circle": _round,
    "ellipse": _round,
}
