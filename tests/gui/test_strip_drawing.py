"""The strip: what is drawn where, and how long it takes for a long part."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from shopapp.areas import Area
from shopapp.presenters.pieces import OK, OVER, TODO, UNDER, Bracket, Mark, Strip
from shopapp.widgets.cells import cells_for
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.strip_marks import heights_of
from shopapp.widgets.strip_plan import draw_strip, plan_strip

PX = 6.0
AREA = Area(10.0, 20.0, 150 * PX, 45 * PX)


def measure(text: str, capital_mm: float) -> float:
    """Width of text whose letters are all 0.8 of their height wide."""
    return 0.8 * capital_mm * PX * len(text)


def gaps(n: int, current: int | None = None) -> Strip:
    """A rounded hump of gaps, its middle outside of the tolerance; one reading is suspect."""
    values = [round(1.2 * (1 - ((2 * i - n + 1) / n) ** 2), 2) for i in range(n)]
    marks = tuple(Mark(v, f"{v:.2f}", OVER if v > 0.5 else OK, suspect=i == 2) for i, v in enumerate(values))
    return Strip(
        position_mm=tuple(20.0 + 40 * i for i in range(n)),
        length_mm=40.0 * n,
        names=tuple(str(i + 1) for i in range(n)),
        marks=marks,
        expected_mm=tuple(values),
        low_mm=tuple(v - 0.1 for v in values),
        high_mm=tuple(v + 0.1 for v in values),
        tolerance_mm=(0.0, 0.5),
        range_mm=(0.0, 2.0),
        current=current,
        scale_text="gap, mm",
    )


def strokes(n: int) -> Strip:
    """Zones of three stations each, with 1, 2, 3 ... strokes."""
    counts = tuple(1 + i // 3 % 4 for i in range(n))
    zones = tuple(
        Bracket(i, min(i + 2, n - 1), counts[i], "", "12 mm/s, 7 s", "12", "7") for i in range(0, n, 3)
    )
    base = gaps(n)
    return replace(base, marks=(), expected_mm=(), low_mm=(), high_mm=(), strokes=counts, brackets=zones)


def drawn(strip: Strip, asked: bool = False, centre: int | None = None, area: Area = AREA) -> Sheet:
    """The strip on a sheet."""
    sheet = Sheet(PX, measure)
    draw_strip(sheet, strip, area, plan_strip(strip, area, PX, measure, asked, centre))
    return sheet


def texts(sheet: Sheet) -> list[str]:
    """Everything written."""
    return [piece.text for pieces in sheet.letters.values() for piece in pieces]


def test_every_station_has_its_shape() -> None:
    """As many triangles as stations outside, squares as stations within, one diamond for the suspect."""
    strip = gaps(12)
    sheet = drawn(strip)
    outside = sum(m.state == OVER and not m.suspect for m in strip.marks)
    within = sum(m.state == OK and not m.suspect for m in strip.marks)
    assert len(sheet.corners["over"]) // 6 == outside * (2 + 1)  # stem of two triangles, shape of one
    assert len(sheet.corners["ok"]) // 6 == within * (2 + 2)
    assert len(sheet.corners["todo"]) // 6 == 2 + 2
    assert any(text.endswith("?") for text in texts(sheet))


def test_heights_tell_the_numbers() -> None:
    """A mark twice as high in mm is drawn twice as far above the template's line."""
    heights = heights_of(gaps(12), cells_for(12, 0.0, 600.0, 1.0), AREA, PX)
    assert heights.y(1.0) - heights.zero == pytest.approx(2 * (heights.y(0.5) - heights.zero))


@pytest.mark.parametrize("n", [5, 12, 30, 200])
@pytest.mark.parametrize("make", [gaps, strokes])
def test_texts_stay_inside_and_apart(make: object, n: int) -> None:
    """No text leaves the area; no two texts of the same height overlap."""
    sheet = drawn(make(n))  # type: ignore[operator]
    boxes = []
    for pieces in sheet.letters.values():
        for piece in pieces:
            wide, high = measure(piece.text, piece.capital_mm), piece.capital_mm * PX
            boxes.append((piece.text, piece.x, piece.y - high / 2, piece.x + wide, piece.y + high / 2))
    for text, x0, y0, x1, y1 in boxes:
        assert AREA.x - 1 <= x0 and x1 <= AREA.x + AREA.width + 1, text
        assert AREA.y - 1 <= y0 and y1 <= AREA.y + AREA.height + 1, text
    for a, b in combinations(boxes, 2):
        assert a[3] <= b[1] + 1 or b[3] <= a[1] + 1 or a[4] <= b[2] + 1 or b[4] <= a[2] + 1, (a, b)


def test_zones_show_counts_and_feed() -> None:
    """Every count is written, every zone has its feed."""
    sheet = drawn(strokes(12))
    assert [t for t in texts(sheet) if t in "1234" and len(t) == 1].count("1") >= 3
    assert texts(sheet).count("12") >= 4
    assert texts(sheet).count("7") >= 4
    assert "mm/s" in texts(sheet)


def test_a_changed_count_says_which_way() -> None:
    """An arrow for each count that differs from what was planned before, none where it is the same."""
    strip = strokes(12)
    same = drawn(replace(strip, before=strip.strokes))
    assert "todo" not in same.corners
    more = drawn(replace(strip, before=(0, *strip.strokes[1:])))
    assert len(more.corners["todo"]) // 6 == 1


def test_a_long_part_has_a_window_and_a_line_of_all() -> None:
    """200 stations: cells to touch are as wide as keys, all stations are in the line below."""
    strip = gaps(200, current=120)
    plan = plan_strip(strip, AREA, PX, measure, asked=True)
    assert plan.overview is not None and plan.overview.count == 200
    assert 120 in plan.cells.stations
    assert plan.cells.pitch() >= 18 * PX - 1e-6
    left, right = plan.cells.span(120)
    assert right - left == max(b - a for a, b in pairwise(plan.cells.edges))


def test_unknown_and_skipped_stations_are_drawn_as_such() -> None:
    """Nothing stands where nothing was read; what hangs below the template points down."""
    strip = gaps(6)
    marks = (
        Mark(None, "", TODO),
        Mark(None, "skipped", "plain"),
        Mark(-0.7, "−0.70", UNDER),
        *strip.marks[3:],
    )
    sheet = drawn(
        replace(strip, marks=marks, expected_mm=(None,) * 6, low_mm=(None,) * 6, high_mm=(None,) * 6)
    )
    assert "skipped" in texts(sheet)
    assert len(sheet.corners["under"]) // 6 == 3
    assert "band" not in sheet.corners


@pytest.mark.parametrize("make", [gaps, strokes])
def test_two_hundred_stations_take_a_few_milliseconds(make: object) -> None:
    """The whole drawing set down anew; the best of many, so that a busy machine does not matter."""
    strip = make(200)  # type: ignore[operator]
    best = min(_seconds(lambda: drawn(strip)) for _ in range(30))
    assert best < 0.010


def _seconds(work: object) -> float:
    start = time.perf_counter()
    work()  # type: ignore[operator]
    return time.perf_counter() - start
