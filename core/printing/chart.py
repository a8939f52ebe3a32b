"""A chart of individuals on paper, its moving ranges under it: values, mean, limits, signals marked."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from core.printing.pages import GREY, INK, INNER_MM, MARGIN_MM, SMALL, Pages
from core.sets.summary import SetChart

HIGH_MM, RANGES_MM, NUMBERS_MM, HEAD_MM = 34.0, 20.0, 5.0, 3.0
LEFT_MM, RIGHT_MM = MARGIN_MM + 8.0, 38.0
DOT_MM, SIGNAL_MM, APART_MM = 1.0, 2.6, 3.0


@dataclass(frozen=True)
class Level:
    """A line across. dashed : a limit; mean and tolerance are drawn through; along : first and last part that
    it holds for, from 0, None for all"""

    name: str
    value: float
    dashed: bool = False
    along: tuple[int, int] | None = None


@dataclass(frozen=True)
class _Panel:
    """Values over the numbers of their parts. first : part at the left edge, as on the panel above; odd :
    indices of values to be marked; base_mm : height of the foot, from the page's upper edge"""

    first: int
    places: tuple[int, ...]
    values: tuple[float, ...]
    levels: tuple[Level, ...]
    odd: frozenset[int]
    high_mm: float
    base_mm: float

    def at(self, place: int, value: float) -> tuple[float, float]:
        """Where it is on the page, mm; the foot is 0 unless something is less."""
        heights = [*self.values, *(level.value for level in self.levels)]
        low = min(0.0, *heights)
        high = max(*heights, low + 1e-9)
        step = (INNER_MM - (LEFT_MM - MARGIN_MM) - RIGHT_MM) / max(1, self.places[-1] - self.first)
        up = (self.high_mm - HEAD_MM) * (value - low) / (high - low)
        return LEFT_MM + step * (place - self.first), self.base_mm - up


def draw_chart(
    pages: Pages, title: str, charted: SetChart, scale: float, form: str, also: Level | None
) -> None:
    """scale : of the values as they are shown; form : of a number; also : a line beside those of the chart.

    Nothing is drawn of no values.
    """
    if not charted.values:
        return
    pages.need(HIGH_MM + RANGES_MM + 2 * NUMBERS_MM + 12.0)
    values = tuple(scale * value for value in charted.values)
    levels, wide = _levels(charted, scale)
    signals = () if charted.chart is None else charted.chart.signals
    odd = frozenset(one.at + charted.first for one in signals if one.test)
    leaps = frozenset(one.at + charted.first - 1 for one in signals if not one.test)
    given = levels if also is None else (also, *levels)
    pages.paragraph(title, bold=True)
    first = charted.at[0]
    _draw(pages, _Panel(first, charted.at, values, given, odd, HIGH_MM, pages.y + HIGH_MM), form)
    if len(values) > 1:
        ranges = tuple(abs(b - a) for a, b in pairwise(values))
        pages.paragraph("Moving range: each against the one before it", SMALL)
        _draw(pages, _Panel(first, charted.at[1:], ranges, wide, leaps, RANGES_MM, pages.y + RANGES_MM), form)


def _levels(charted: SetChart, scale: float) -> tuple[tuple[Level, ...], tuple[Level, ...]]:
    """Mean and limits of the values, and of the ranges; they hold for one batch."""
    chart = charted.chart
    if chart is None:
        return (), ()
    along = (charted.at[charted.first], charted.at[charted.end - 1])

    def level(name: str, value: float, dashed: bool = True) -> Level:
        return Level(name, scale * value, dashed, along)

    return (
        (level("mean", chart.centre, False), level("limit", chart.lower), level("limit", chart.upper)),
        (level("mean range", chart.range_centre, False), level("limit", chart.range_upper)),
    )


def _draw(pages: Pages, panel: _Panel, form: str) -> None:
    _lines(pages, panel, form)
    document = pages.document
    points = [panel.at(place, value) for place, value in zip(panel.places, panel.values, strict=True)]
    if len(points) > 1:
        document.polyline(points)
    document.set_fill_color(INK)
    for i, (x, y) in enumerate(points):
        document.ellipse(x - DOT_MM / 2, y - DOT_MM / 2, DOT_MM, DOT_MM, style="F")
        if i in panel.odd:
            document.rect(x - SIGNAL_MM / 2, y - SIGNAL_MM / 2, SIGNAL_MM, SIGNAL_MM)
        pages.centred(x, panel.base_mm + 3.2, str(panel.places[i] + 1), SMALL - 1.0)
    pages.y = panel.base_mm + NUMBERS_MM


def _lines(pages: Pages, panel: _Panel, form: str) -> None:
    """The lines across, each with its name and number at the right, no two of them over each other."""
    document, said = pages.document, -APART_MM
    document.set_draw_color(GREY)
    right = INNER_MM + MARGIN_MM - RIGHT_MM + 3.0
    for level in sorted(panel.levels, key=_downwards):
        document.set_dash_pattern(**({"dash": 1.0, "gap": 1.0} if level.dashed else {}))
        start, last = level.along or (panel.first, panel.places[-1])
        document.line(*panel.at(max(start, panel.first), level.value), *panel.at(last, level.value))
        said = max(panel.at(start, level.value)[1], said + APART_MM)
        pages.text(right, said + 0.9, f"{level.name} {form.format(level.value)}", SMALL - 1.0)
    document.set_dash_pattern()
    document.set_draw_color(INK)


def _downwards(level: Level) -> float:
    return -level.value
