"""A strip on paper: the deviation along a part against its tolerance band, with the gaps as read."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log10

from core.printing.pages import GREY, INK, INNER_MM, MARGIN_MM, SMALL, Pages
from core.records.strip import Strip
from core.units import format_limit

HIGH_MM, AXIS_MM, BELOW_MM = 36.0, 16.0, 9.5
MARK_MM, ROUND_MM = 0.6, 0.9
BAND_GREY, TOLERANCE_GREY = 175, 226
LEAST_APART_MM = 6.0  # of numbers below the strip


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
    most = max(
        1.5 * strip.tolerance_mm,
        *(abs(d) + b for d, b in zip(strip.deviation_mm, strip.band_mm, strict=True)),
        *(abs(mm) for _, mm in strip.read),
    )
    half, edge = 0.5 * HIGH_MM, 4.0
    return _Frame(
        left=MARGIN_MM + AXIS_MM + edge,
        wide=INNER_MM - AXIS_MM - 2 * edge,
        middle=pages.y + half + 1.5,
        half=half,
        top_mm=nice_top(most),
        first_mm=first,
        span_mm=max(last - first, 1e-9),
    )


def nice_top(mm: float) -> float:
    """The next of 1, 2, 5 times a power of ten, from ``mm`` up."""
    power = 10.0 ** floor(log10(mm))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= mm * (1 - 1e-9))


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
    places = list(zip(strip.position_mm, strip.deviation_mm, strip.band_mm, strict=True))
    upper = [(frame.x(at), frame.y(mm + half)) for at, mm, half in places]
    lower = [(frame.x(at), frame.y(mm - half)) for at, mm, half in reversed(places)]
    pages.document.set_fill_color(BAND_GREY)
    pages.document.polygon([*upper, *lower], style="F")


def _line(pages: Pages, strip: Strip, frame: _Frame) -> None:
    points = [
        (frame.x(at), frame.y(mm)) for at, mm in zip(strip.position_mm, strip.deviation_mm, strict=True)
    ]
    document = pages.document
    document.set_line_width(0.35)
    document.polyline(points)
    document.set_line_width(0.15)
    document.set_fill_color(INK)
    for x, y in points:
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
    """As many numbers of sites as stand apart, the first and the last among them, and what is drawn."""
    y = frame.middle + frame.half + 3.8
    last, before = len(strip.position_mm) - 1, -LEAST_APART_MM
    for i, at in enumerate(strip.position_mm):
        x = frame.x(at)
        crowds = i != last and frame.x(strip.position_mm[-1]) - x < LEAST_APART_MM
        if x - before >= LEAST_APART_MM and not crowds:
            pages.centred(x, y, str(i + 1), SMALL - 1.0)
            before = x
    if last and before < frame.x(strip.position_mm[-1]):
        pages.centred(frame.x(strip.position_mm[-1]), y, str(last + 1), SMALL - 1.0)
    pages.text(MARGIN_MM, y, f"{site}", SMALL - 1.0)
    pages.text(MARGIN_MM, y + 3.4, _told(strip), SMALL - 1.0)


def _told(strip: Strip) -> str:
    told = ["line: deviation, + outward of the template, seated at its best"]
    told += ["grey: its 95 % band"] if max(strip.band_mm) > 0.0 else []
    told += ["circles: gaps as read, as the template lay"] if strip.read else []
    told += ["corners: beyond the gauge"] if strip.beyond else []
    return "; ".join([*told, "light field: tolerance"])
