"""Path data of SVG (W3C, SVG 1.1, section 8.3; arcs by its appendix F.6) as figures."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from math import acos, cos, isfinite, pi, radians, sin, sqrt
from typing import NoReturn

import numpy as np

from core.geometry.line import Array
from core.linefiles.errors import wrong_at
from core.linefiles.figure import MOST_PIECES, Figure
from core.linefiles.pieces import Piece, bezier, elliptic, straight

_NUMBER = re.compile(r"[\s,]*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,4})?)")
_FLAG = re.compile(r"[\s,]*([01])")
_COMMAND = re.compile(r"[\s,]*([A-Za-z])")
_NOTHING = re.compile(r"[\s,]*")
MOST_COMMANDS = MOST_PIECES
SHOWN = 24


@dataclass(frozen=True)
class Affine:
    """A plane affine map: matrix (2, 2) and shift (2,)."""

    matrix: Array = field(default_factory=lambda: np.eye(2))
    shift: Array = field(default_factory=lambda: np.zeros(2))

    def __call__(self, points: Array) -> Array:
        """(..., 2) points, moved."""
        return np.asarray(points @ self.matrix.T + self.shift)

    def after(self, first: Affine) -> Affine:
        """``first``, then this."""
        return Affine(self.matrix @ first.matrix, self.matrix @ first.shift + self.shift)


@dataclass(frozen=True)
class Spot:
    """Where a path stands in the file. name : of the file; line : of the element; label : of its figures"""

    name: str
    line: int
    label: str


def path_figures(data: str, affine: Affine, spot: Spot) -> list[Figure]:
    """Every subpath that has a length, its points moved by ``affine``. Raises InputError at its line."""
    return _Path(data, affine, spot).figures()


class _Path:
    """Walks over the data once; ``pen`` is the current point, ``handle`` what S and T reflect."""

    def __init__(self, data: str, affine: Affine, spot: Spot) -> None:
        self._data, self._affine, self._spot = data, affine, spot
        self._place = self._count = 0
        self._pen = self._first = self._handle = np.zeros(2)
        self._pieces: list[Piece] = []
        self._done: list[Figure] = []

    def figures(self) -> list[Figure]:
        last = ""
        while not self._at_end():
            command = self._command(last)
            if not last and command not in "Mm":
                self._refuse("M first, where the path begins, is wanted")
            self._count += 1
            if self._count > MOST_COMMANDS:
                self._refuse(f"at most {MOST_COMMANDS} commands are wanted")
            _DRAW[command.upper()](self, command.islower(), last.upper())
            last = {"M": "L", "m": "l"}.get(command, command)
        self._lift()
        return self._done

    def move(self, relative: bool, _: str) -> None:
        self._lift()
        self._pen = self._first = self._handle = self._point(relative)

    def line(self, relative: bool, _: str) -> None:
        self._straight_to(self._point(relative))

    def along(self, relative: bool, _: str) -> None:
        x = self._number() + (self._pen[0] if relative else 0.0)
        self._straight_to(np.array([x, self._pen[1]]))

    def upright(self, relative: bool, _: str) -> None:
        y = self._number() + (self._pen[1] if relative else 0.0)
        self._straight_to(np.array([self._pen[0], y]))

    def close(self, _: bool, __: str) -> None:
        self._straight_to(self._first)
        self._lift()

    def cubic(self, relative: bool, _: str) -> None:
        self._curve_to([self._point(relative) for _ in range(3)])

    def smooth_cubic(self, relative: bool, last: str) -> None:
        handle = self._reflected(last in "CS")
        self._curve_to([handle, self._point(relative), self._point(relative)])

    def quadratic(self, relative: bool, _: str) -> None:
        self._curve_to([self._point(relative) for _ in range(2)])

    def smooth_quadratic(self, relative: bool, last: str) -> None:
        handle = self._reflected(last in "QT")
        self._curve_to([handle, self._point(relative)])

    def arc(self, relative: bool, _: str) -> None:
        radii = np.abs([self._number(), self._number()])
        turned = radians(self._number())
        large, sweep = self._flag(), self._flag()
        end = self._point(relative)
        if not radii.all() or (end == self._pen).all():
            self._straight_to(end)
            return
        centre, axes, start, angle = arc_centre(self._pen, end, radii, turned, large, sweep)
        matrix = self._affine.matrix @ axes
        self._add(elliptic(self._affine(centre), matrix, start, angle, self._spot.line))
        self._pen = self._handle = end

    def _straight_to(self, end: Array) -> None:
        if (end != self._pen).any():
            self._add(straight(self._affine(self._pen), self._affine(end), self._spot.line))
        self._pen = self._handle = end

    def _curve_to(self, handles: list[Array]) -> None:
        control = np.array([self._pen, *handles])
        if (control != self._pen).any():
            self._add(bezier(self._affine(control), self._spot.line))
        self._handle, self._pen = control[-2], control[-1]

    def _reflected(self, of_its_kind: bool) -> Array:
        return 2.0 * self._pen - self._handle if of_its_kind else self._pen

    def _add(self, piece: Piece) -> None:
        self._pieces.append(piece)

    def _lift(self) -> None:
        if self._pieces:
            self._done.append(Figure(tuple(self._pieces), self._spot.label))
        self._pieces = []

    def _command(self, last: str) -> str:
        found = _COMMAND.match(self._data, self._place)
        if found is None and last and last not in "Zz":
            return last
        if found is None or found[1].upper() not in _DRAW:
            self._refuse("one of the commands M L H V C S Q T A Z is wanted")
        self._place = found.end()
        return found[1]

    def _point(self, relative: bool) -> Array:
        point = np.array([self._number(), self._number()])
        return point + self._pen if relative else point

    def _number(self) -> float:
        found = _NUMBER.match(self._data, self._place)
        value = float(found[1]) if found else float("nan")
        if found is None or not isfinite(value):
            self._refuse("a number is wanted")
        self._place = found.end()
        return value

    def _flag(self) -> bool:
        found = _FLAG.match(self._data, self._place)
        if found is None:
            self._refuse("0 or 1, a flag of an arc, is wanted")
        self._place = found.end()
        return found[1] == "1"

    def _at_end(self) -> bool:
        found = _NOTHING.match(self._data, self._place)
        return found is None or found.end() == len(self._data)

    def _refuse(self, wanted: str) -> NoReturn:
        rest = self._data[self._place : self._place + SHOWN].strip()
        raise wrong_at(self._spot.name, self._spot.line, f"path ... {rest}", wanted)


_DRAW: dict[str, Callable[[_Path, bool, str], None]] = {
    "M": _Path.move,
    "L": _Path.line,
    "H": _Path.along,
    "V": _Path.upright,
    "C": _Path.cubic,
    "S": _Path.smooth_cubic,
    "Q": _Path.quadratic,
    "T": _Path.smooth_quadratic,
    "A": _Path.arc,
    "Z": _Path.close,
}


def arc_centre(
    start: Array, end: Array, radii: Array, turned_rad: float, large: bool, sweep: bool
) -> tuple[Array, Array, float, float]:
    """Centre (2,), axes (2, 2), start angle and signed sweep (rad) of an arc given by its ends (F.6.5).

    Radii that are too small to reach are made larger, as F.6.6 has it.
    """
    c, s = cos(turned_rad), sin(turned_rad)
    turn = np.array([[c, -s], [s, c]])
    half = turn.T @ (0.5 * (start - end))
    over = float(np.sum((half / radii) ** 2))
    radii = radii * max(1.0, sqrt(over))
    rest = max(0.0, 1.0 / min(over, 1.0) - 1.0) if over > 0.0 else 0.0
    side = -1.0 if large == sweep else 1.0
    inner = side * sqrt(rest) * np.array([radii[0] * half[1] / radii[1], -radii[1] * half[0] / radii[0]])
    centre = turn @ inner + 0.5 * (start + end)
    first, last = ((way - inner) / radii for way in (half, -half))
    begin = float(np.arctan2(first[1], first[0]))
    angle = acos(max(-1.0, min(1.0, float(first @ last) / float(np.hypot(*first) * np.hypot(*last)))))
    if first[0] * last[1] - first[1] * last[0] < 0.0:
        angle = -angle
    if sweep and angle < 0.0:
        angle += 2.0 * pi
    elif not sweep and angle > 0.0:
        angle -= 2.0 * pi
    return centre, turn @ np.diag(radii), begin, angle
