"""A strip on paper: the deviation along a part against its tolerance band, with the gaps as read.

Its numbers, places and signs are those of the screen, of :mod:`core.stripmarks`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.printing.pages import GREY, INK, INNER_MM, MARGIN_MM, SMALL, Pages
from core.records.strip import Strip
from core.units import format_limit

HIGH_MM, AXIS_MM, BELOW_MM, ROW_MM = 36.0, 16.0, 16.0, 3.2
MARK_MM, ROUND_MM, CORNER_MM = 0.6, 0.9, 1.4
BAND_GREY, TOLERANCE_GREY = 175, 226
LEAST_APART_MM = 8.5  # of numbers below the strip


@dataclass(frozen=True)
class _Frame:
    """Where a strip lies on its page: left and width, mm, of the sites; middle and half of its height."""

    left: float
    wide: float
    middle: float
    half: float
    top_mm: float
    first_mm: float
    span_mm: float

    def x(self, at_mm: float) -> float:
        return self.left + self.wide * (at_mm - self.first_mm) / self.span_mm

    def y(self, mm: float) -> float:
        return self.middle - self.half * max(-1.0, min(1.0, mm / self.top_mm))


def draw_strip(pages: Pages, strip: Strip, site: str) -> None:
    """A strip as wide as the page, under its title. site : what one is called"""
    pages.need(HIGH_MM + BELOW_MM + 6.0)
    pages.paragraph(strip.title, bold=True)
    frame = _frame(pages, strip)
    _tolerance(pages, strip, frame)
    _band(pages, strip, frame)
    _line(pages, strip, frame)
    _read(pages, strip, frame)
    _numbers(pages, strip, frame, site)
    pages.y = frame.middle + frame.half + BELOW_MM


def _frame(pages: Pages, strip: Strip) -> _Frame:
    first, last = strip.position_mm[0], strip.position_mm[-1]
    half, edge = 0.5 * HIGH_MM, 4.0
    return _Frame(
        left=MARGIN_MM + AXIS_MM + edge,
        wide=INNER_MM - AXIS_MM - 2 * edge,
        middle=pages.y + half + 1.5,
        half=half,
        top_mm=strip.marks.top_mm,
        first_mm=first,
        span_mm=max(last - first, 1e-9),
    )


def _tolerance(pages: Pages, strip: Strip, frame: _Frame) -> None:
    """The band as a field between two lines, with the heights that count beside them."""
    limit, left, wide = strip.tolerance_mm, MARGIN_MM + AXIS_MM, INNER_MM - AXIS_MM
    upper, lower = frame.y(limit), frame.y(-limit)
    pages.shade(left, upper, wide, lower - upper, TOLERANCE_GREY)
    document = pages.document
    document.set_draw_color(GREY)
    document.rect(left, frame.middle - frame.half, wide, 2 * frame.half)
    document.set_dash_pattern(dash=1.0, gap=1.0)
    for y in (upper, lower):
        document.line(left, y, left + wide, y)
    document.set_dash_pattern()
    document.line(left, frame.middle, left + wide, frame.middle)
    document.set_draw_color(INK)
    text = format_limit(limit)
    apart = lower - upper > 9.0
    heights = {frame.top_mm: f"+{frame.top_mm:g} mm", -frame.top_mm: f"−{frame.top_mm:g} mm"}
    heights |= {limit: f"+{text}", -limit: f"−{text}"} if apart else {0.0: f"±{text}"}
    for mm, said in heights.items():
        pages.right(left - 1.0, frame.y(mm) + 0.9, said, SMALL - 1.0)


def _band(pages: Pages, strip: Strip, frame: _Frame) -> None:
    if max(strip.band_mm) <= 0.0:
        return
    known = [
        (frame.x(site.at_mm), site.low_mm, site.high_mm)
        for site in strip.marks.sites
        if site.low_mm is not None and site.high_mm is not None
    ]
    upper = [(x, frame.y(high)) for x, _, high in known]
    lower = [(x, frame.y(low)) for x, low, _ in reversed(known)]
    pages.document.set_fill_color(BAND_GREY)
    pages.document.polygon([*upper, *lower], style="F")


def _line(pages: Pages, strip: Strip, frame: _Frame) -> None:
    """The line, and a mark each site: a square, or a corner that points where it is beyond the tolerance."""
    sites = strip.marks.sites
    points = [(frame.x(site.at_mm), frame.y(site.value_mm)) for site in sites]
    document = pages.document
    document.set_line_width(0.35)
    document.polyline(points)
    document.set_line_width(0.15)
    document.set_fill_color(INK)
    for site, (x, y) in zip(sites, points, strict=True):
        if site.beyond:
            foot, tip = y + site.beyond * 0.4 * CORNER_MM, y - site.beyond * 0.6 * CORNER_MM
            document.polygon([(x - CORNER_MM / 2, foot), (x + CORNER_MM / 2, foot), (x, tip)], style="F")
        else:
            document.rect(x - MARK_MM / 2, y - MARK_MM / 2, MARK_MM, MARK_MM, style="F")


def _read(pages: Pages, strip: Strip, frame: _Frame) -> None:
    """Circles as read; a corner upwards where the gauge did not reach."""
    document = pages.document
    document.set_fill_color(255)
    for site, mm in strip.read:
        x, y = frame.x(strip.position_mm[site]), frame.y(mm)
        document.ellipse(x - ROUND_MM / 2, y - ROUND_MM / 2, ROUND_MM, ROUND_MM, style="DF")
    for site in strip.beyond:
        x, y = frame.x(strip.position_mm[site]), frame.middle - frame.half
        document.polygon([(x - 0.9, y + 1.8), (x + 0.9, y + 1.8), (x, y + 0.3)], style="DF")


def _numbers(pages: Pages, strip: Strip, frame: _Frame, site: str) -> None:
    """Sites with their deviations, as many as stand apart, and what is drawn."""
    y, marks = frame.middle + frame.half + 3.8, strip.marks.sites
    for i in numbered([frame.x(mark.at_mm) for mark in marks], [abs(mark.value_mm) for mark in marks]):
        x = frame.x(marks[i].at_mm)
        pages.centred(x, y, str(i + 1), SMALL - 1.0)
        pages.centred(x, y + ROW_MM, marks[i].text, SMALL - 1.0)
    pages.text(MARGIN_MM, y, site, SMALL - 1.0)
    pages.text(MARGIN_MM, y + ROW_MM, "mm", SMALL - 1.0)
    for k, line in enumerate(pages.letters.wrapped(_told(strip), SMALL - 1.0, INNER_MM)):
        pages.text(MARGIN_MM, y + (2 + k) * ROW_MM, line, SMALL - 1.0)


def numbered(x_mm: Sequence[float], weight: Sequence[float]) -> list[int]:
    """Which sites at these places get their numbers: the weightiest, the last, then from the first on."""
    heaviest = max(range(len(x_mm)), key=lambda i: weight[i])
    chosen: list[int] = []
    for i in (heaviest, len(x_mm) - 1, *range(len(x_mm))):
        if all(abs(x_mm[i] - x_mm[j]) >= LEAST_APART_MM for j in chosen):
            chosen.append(i)
    return sorted(chosen)


def _told(strip: Strip) -> str:
    told = [f"line: {strip.what}"]
    told += ["filled corners: beyond the tolerance"] if any(m.beyond for m in strip.marks.sites) else []
    told += ["grey: its 95 % band"] if max(strip.band_mm) > 0.0 else []
    told += ["circles: gaps as read, as the template lay"] if strip.read else []
    told += ["open corners: beyond the gauge"] if strip.beyond else []
    return "; ".join([*told, "light field: tolerance"])
