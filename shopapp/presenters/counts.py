"""Stroke counts of a pass that was done differently: changed by station or by zone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import core
from shopapp.presenters import wording
from shopapp.presenters.pieces import Bracket

DIGITS = "0123456789"
MOST = 99
"""strokes at one station in one pass; more is a slip of the finger"""


@dataclass(frozen=True)
class Counts:
    """action, bite : as really used; strokes : (n,); zones : (first, last) of the planned zones;
    by : "station" or "zone"; at : station (from 0) that was picked; label : what a station is called;
    typed : digits typed so far for what is picked"""

    action: str
    bite: str
    strokes: tuple[int, ...]
    zones: tuple[tuple[int, int], ...]
    by: str = "station"
    at: int = 0
    label: str = "station"
    typed: str = ""

    @property
    def span(self) -> tuple[int, int]:
        """First and last station that a change touches."""
        if self.by == "zone":
            for first, last in self.zones:
                if first <= self.at <= last:
                    return first, last
        return self.at, self.at

    @property
    def text(self) -> str:
        """The count that is being changed, in words."""
        first, last = self.span
        here = self.strokes[first : last + 1]
        low, high = min(here), max(here)
        strokes = wording.count(low, "stroke") if low == high else f"{low} to {high} strokes"
        if first == last:
            return f"{self.label} {first + 1}: {strokes}"
        return f"{self.label}s {first + 1} to {last + 1}: {strokes}"

    @property
    def can_lower(self) -> bool:
        """False when every count picked is 0 already."""
        first, last = self.span
        return any(self.strokes[first : last + 1])

    def changed(self, by: int) -> Counts:
        """With so many strokes more at each station picked; a count of 0 stays where it cannot be lowered."""
        first, last = self.span
        return replace(
            self,
            typed="",
            strokes=tuple(
                max(0, count + by) if first <= i <= last else count for i, count in enumerate(self.strokes)
            ),
        )

    def with_digit(self, character: str) -> Counts:
        """With a typed digit added to the count. Raises core.InputError for anything else."""
        typed = (self.typed + character).lstrip("0") or "0"
        if character not in DIGITS or int(typed) > MOST:
            raise core.InputError("strokes", self.typed + character, f"a whole number up to {MOST} is wanted")
        return replace(self._set(int(typed)), typed=typed)

    def without_digit(self) -> Counts:
        """With the last digit rubbed out; none left is no strokes."""
        typed = self.typed[:-1]
        return replace(self._set(int(typed or 0)), typed=typed) if self.typed else self

    def next(self) -> Counts:
        """The next station or zone picked, going round."""
        starts = [first for first, _ in self.zones] if self.by == "zone" else list(range(len(self.strokes)))
        here = self.span[0]
        return replace(self, at=next((s for s in starts if s > here), starts[0]), typed="")

    def _set(self, count: int) -> Counts:
        first, last = self.span
        strokes = (count if first <= i <= last else m for i, m in enumerate(self.strokes))
        return replace(self, strokes=tuple(strokes))

    def cleared(self) -> Counts:
        """With no strokes at the stations picked."""
        return self.changed(-max(self.strokes))


def brackets(strokes: Sequence[int]) -> tuple[Bracket, ...]:
    """Runs of equal count that are not 0, without feed."""
    out: list[Bracket] = []
    start = 0
    for count, run in groupby(strokes):
        length = len(list(run))
        if count:
            each = wording.count(count, "stroke")
            last = start + length - 1
            out.append(Bracket(start, last, count, each if length == 1 else f"{each} each", ""))
        start += length
    return tuple(out)
