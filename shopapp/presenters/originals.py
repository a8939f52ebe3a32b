"""Two originals side by side: which of them to follow, or the mean of both."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import core
from shopapp.presenters import original_taken, outlines, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.original_taken import KEPT, STORED
from shopapp.presenters.original_views import OriginalsView
from shopapp.presenters.pieces import Fact, Header, Key, Outline
from shopapp.presenters.session import Session

Array = NDArray[np.float64]
FIRST, SECOND, MEAN = "first", "second", "mean"
WAYS = {FIRST: "First", SECOND: "Second", MEAN: "Mean of both"}
TOLD_AT, AHEAD = 9, 0.08
"""places along them that are told; how far before the first the word for it is drawn, of the longer side"""
ALIKE = "They differ by no more than the measuring explains: the mean is known better than either."
UNLIKE = "They differ by more than the measuring explains: say which of them is right."
LAID = (
    "Thin lines: what the measuring explains. The second is laid on the first as well as shifting and "
    "turning can. Both start from the same end."
)
FEWER = "Two originals are wanted: measure one, touch Measure another, then measure that."


@dataclass(frozen=True)
class Two:
    """Both as measured, and how far they are apart."""

    first: core.Original
    second: core.Original
    both: core.SideBySide

    def line_as(self, part: str, way: str) -> dict[str, object]:
        """For this part of a job. Raises InputError."""
        one = {FIRST: self.first, SECOND: self.second}.get(way)
        return self.both.line_as(part) if one is None else one.line_as(part)


class OriginalsPresenter(Presenter[OriginalsView]):
    """Keys: follow:first, follow:second, follow:mean, take."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._way = MEAN
        self.touches = {"follow": self._follow, "take": self._take}

    def view(self, go: str = "") -> OriginalsView:
        """Both lines with what is between them magnified, and the choice."""
        header = Header("Two originals side by side", back="original")
        two = self._two()
        if two is None:
            return OriginalsView(header, (), sentences=(FEWER,), complaint=self.complaint, go=go)
        return OriginalsView(
            header=header,
            keys=self._keys(),
            outline=_outline(two),
            facts=(_known(two, self._way), *_facts(two)),
            sentences=(UNLIKE if two.both.beyond_doubt else ALIKE, LAID),
            complaint=self.complaint,
            go=go,
        )

    def _keys(self) -> tuple[Key, ...]:
        ways = (Key(f"follow:{way}", text, chosen=way == self._way) for way, text in WAYS.items())
        return (Key("take", "Take this line", main=True, why=WAYS[self._way]), *ways)

    def _follow(self, way: str) -> None:
        if way not in WAYS:
            raise KeyError(way)
        self._way = way

    def _take(self, _: str) -> str:
        two = self._two()
        if two is None:
            raise core.InputError("originals", None, FEWER)
        self.session.line_taken = two.line_as(self.session.line_part, self._way)
        return "setup"

    def _two(self) -> Two | None:
        """None while one of them is not measured."""
        taken = [original_taken.stored(self.session, name) for name in (KEPT, STORED)]
        found = [one.found(self.session.line_part)[0] for one in taken if one is not None]
        if len(found) < len(taken) or found[0] is None or found[1] is None:
            return None
        return Two(found[0], found[1], core.side_by_side(found[0], found[1]))


def _known(two: Two, way: str) -> Fact:
    sd = {FIRST: two.first.sd_mm, SECOND: two.second.sd_mm}.get(way) or two.both.sd_of_mean_mm
    return Fact(f"{WAYS[way]}, known to", f"± {wording.length(wording.Z95 * sd)}", big=True)


def _facts(two: Two) -> tuple[Fact, ...]:
    """How far apart, at worst and along them."""
    both = two.both
    worst = int(np.argmax(np.abs(both.apart_mm)))
    longer = f"{wording.length(abs(both.length_apart_mm))} {'more' if both.length_apart_mm > 0 else 'less'}"
    places = np.linspace(0, len(both.along_mm) - 1, TOLD_AT).round().astype(int)
    return (
        Fact("Farthest apart", f"{_apart(both, worst)}, {wording.size(both.along_mm[worst])} along"),
        Fact("The second is along its length", longer),
        *(Fact(f"Second left of first at {wording.size(both.along_mm[i])}", _apart(both, i)) for i in places),
    )


def _apart(both: core.SideBySide, i: int) -> str:
    return wording.band(float(both.apart_mm[i]), float(both.sd_mm[i]))


def _outline(two: Two) -> Outline:
    """The first as a thin line, the second bold with its distance magnified, and between two thin lines what
    the measuring explains."""
    both, points = two.both, two.first.measured.points_mm
    steps = np.gradient(points, axis=0)
    left = np.column_stack([-steps[:, 1], steps[:, 0]]) / np.hypot(*steps.T)[:, None]
    explained = wording.Z95 * both.sd_mm
    largest = float(max(np.max(np.abs(both.apart_mm)), np.max(explained)))
    factor = outlines.magnification(largest, float(np.max(np.ptp(points, axis=0))))

    def beside(away: Array) -> tuple[tuple[float, float], ...]:
        return tuple((float(x), float(y)) for x, y in points + factor * away[:, None] * left)

    return Outline(
        points=beside(np.zeros(len(points))),
        part=beside(both.apart_mm),
        band=(beside(explained), beside(-explained)),
        ends=((_before(points), "start"),),
        factor=factor,
        factor_text=f"bold: the second, × {factor:g}",
    )


def _before(points: Array) -> tuple[float, float]:
    """A place ahead of a line's first end."""
    way = points[0] - points[1]
    x, y = points[0] + AHEAD * float(np.max(np.ptp(points, axis=0))) * way / np.hypot(*way)
    return float(x), float(y)
