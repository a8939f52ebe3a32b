"""The strip: what is drawn where, and how long it takes for a long part."""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from shopapp.areas import Area
from shopapp.palette import PALETTES, Palette, contrast
from shopapp.presenters.pieces import OK, OVER, TODO, UNDER, Bracket, LimitRun, Mark, Strip
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.cells import cells_for
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.strip_marks import EXPECTED_EDGE, heights_of
from shopapp.widgets.strip_plan import draw_strip, lane_of, plan_strip

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
        limit_text="0.50",
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


def boxes(sheet: Sheet, role: str) -> list[tuple[float, float, float, float]]:
    """Left, bottom, right, top of every two triangles of a role."""
    corners = sheet.corners[role]
    places = [corners[i : i + 12] for i in range(0, len(corners), 12)]
    return [(min(p[::2]), min(p[1::2]), max(p[::2]), max(p[1::2])) for p in places]


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


@pytest.mark.parametrize("high_mm", [20, 22, 26, 32, 45])
def test_the_number_asked_for_stays_under_the_top_of_a_low_strip(high_mm: int) -> None:
    """It is large where there is room for that; a touching template read amid touching ones is asked for."""
    low = Area(AREA.x, AREA.y, AREA.width, high_mm * PX)
    marks = tuple(Mark(0.0, "0", OK, suspect=i == 4) for i in range(8))
    strip = replace(gaps(8, current=4), marks=marks, expected_mm=(), low_mm=(), high_mm=(), scale_text="")
    sheet = drawn(strip, asked=True, area=low)
    (number,) = [piece for pieces in sheet.letters.values() for piece in pieces if piece.text == "0 ?"]
    assert number.y + number.capital_mm * PX / 2 <= low.y + low.height
    assert (number.capital_mm > CLOSE_MM) == (high_mm >= 26)


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


@pytest.mark.parametrize("palette", PALETTES.values(), ids=lambda p: p.name)
def test_the_expected_band_can_be_seen(palette: Palette) -> None:
    """A line of half a millimetre all around it, at least 3:1 against what lies on both of its sides
    (WCAG 2.1, success criterion 1.4.11): the band's own fill, the tolerance's and the screen's ground."""
    strip = replace(gaps(6), expected_mm=())
    bare = drawn(replace(strip, low_mm=(None,) * 6, high_mm=(None,) * 6))
    more = Counter(boxes(drawn(strip), EXPECTED_EDGE)) - Counter(boxes(bare, EXPECTED_EDGE))
    plan = plan_strip(strip, AREA, PX, measure)
    left, right = plan.cells.span(3)
    edges = [box for box in more if left <= box[0] and box[2] <= right]
    assert len(edges) == 4
    assert min(min(box[2] - box[0], box[3] - box[1]) for box in edges) == pytest.approx(0.5 * PX)
    fills = [box for box in boxes(drawn(strip), "band") if left <= box[0] and box[2] <= right]
    assert len(fills) == 1
    around = [f(box[i] for box in edges) for i, f in enumerate((min, min, max, max))]
    assert around == pytest.approx(list(fills[0]))
    for ground in ("ground", "panel", "band"):
        assert contrast(getattr(palette, EXPECTED_EDGE), getattr(palette, ground)) >= 3.0


@pytest.mark.parametrize("way", [1, -1])
def test_no_line_runs_through_a_number(way: int) -> None:
    """Whatever the gaps are: the lines of the tolerance and of the bands pass above or below every number."""
    for hundredths in range(2, 80):
        value = way * hundredths / 100
        text = f"{abs(value):.2f}\u2009"  # not the text of a limit
        marks = (Mark(value, text, OK),) * 5
        known = {"low_mm": (value - 0.12,) * 5, "high_mm": (value + 0.12,) * 5, "expected_mm": (value,) * 5}
        strip = replace(gaps(5), marks=marks, tolerance_mm=(-0.5, 0.5), **known)
        sheet, plan = Sheet(PX, measure), plan_strip(strip, AREA, PX, measure)
        draw_strip(sheet, strip, AREA, plan)
        levels = [p.y for p in sheet.letters["quiet"] if p.text in ("+0.50", "\u22120.50")]
        assert len(levels) == 2
        left, right = plan.cells.span(2)
        levels += [b[1] for b in boxes(sheet, "band") if left <= b[0] and b[2] <= right]
        levels += [b[3] for b in boxes(sheet, "band") if left <= b[0] and b[2] <= right]
        numbers = [p for p in sheet.letters["ok"] if p.text == text]
        assert len(numbers) == 5
        for y in levels:
            assert all(abs(p.y - y) > p.capital_mm * PX / 2 for p in numbers), (value, y)


def test_a_narrow_strip_keeps_the_number_of_the_tolerance() -> None:
    """While stations are chosen on a small screen there is no room beside them: it stands inside, over
    nothing else."""
    narrow = Area(10.0, 20.0, 63 * PX, 37 * PX)

    def roboto(text: str, capital_mm: float) -> float:
        """Its digits are 1150, its points 539 units of 1456 a capital wide (its hmtx table)."""
        return sum(539 / 1456 if c == "." else 1150 / 1456 for c in text) * capital_mm * PX

    for current in range(30):
        strip, sheet = gaps(30, current), Sheet(PX, roboto)
        draw_strip(sheet, strip, narrow, plan_strip(strip, narrow, PX, roboto, asked=True), captioned=False)
        limits = [p for p in sheet.letters["quiet"] if p.text == "0.5"]
        assert len(limits) == 1, current
        written = [p for pieces in sheet.letters.values() for p in pieces if p is not limits[0]]
        for other in written:
            apart_x = (
                other.x + roboto(other.text, other.capital_mm) <= limits[0].x
                or limits[0].x + roboto("0.5", 3.5) <= other.x
            )
            assert apart_x or abs(other.y - limits[0].y) >= (other.capital_mm + 3.5) / 2 * PX, other


@pytest.mark.parametrize("n", [5, 12, 30, 200])
def test_the_way_of_the_marker_is_free(n: int) -> None:
    """While the marker runs no text and no bar is where it runs, so that it covers nothing."""
    strip = strokes(n)
    sheet, plan = Sheet(PX, measure), plan_strip(strip, AREA, PX, measure)
    draw_strip(sheet, strip, AREA, plan, lane=True)
    bottom, top = lane_of(plan, PX)
    assert top - bottom >= 4.5 * PX - 1e-6
    for pieces in sheet.letters.values():
        for piece in pieces:
            high = piece.capital_mm * PX / 2
            assert piece.y - high >= top or piece.y + high <= bottom, piece
    for role in list(sheet.corners):
        for box in boxes(sheet, role):
            assert box[1] >= top - 1e-6 or box[3] <= bottom + 1e-6, (role, box)


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


def test_limits_are_shaded_as_high_as_they_are_used_and_a_full_one_is_marked() -> None:
    plain, used = strokes(12), tuple(i / 11 for i in range(12))
    before, sheet = drawn(plain), drawn(replace(plain, used=used))
    bars = boxes(sheet, "rule")
    lowest = min(bottom for _, bottom, _, _ in bars)
    # in the row's own order: twelve bars on its floor, then its two lines
    row = [b for b in bars if b[3] < min(box[1] for box in boxes(sheet, "ink"))]
    shares, top = row[:12], max(b[3] for b in row)
    whole = shares[-1][3] - shares[-1][1]
    assert [(b[3] - b[1]) / whole for b in shares] == pytest.approx(list(used))
    assert lowest < shares[0][1] < top
    assert len(sheet.corners["todo"]) // 6 - len(before.corners["todo"]) // 6 == 2  # one diamond, the last
    assert "% limit" in texts(sheet) and "% limit" not in texts(before)


RUNS = (
    LimitRun(0, 6, "one pass", "62 %", "up to "),
    LimitRun(7, 7, "whole job", "104 %", over=True),
    LimitRun(8, 11, "one pass", "71 %"),
)
USED = (0.5,) * 6 + (0.62, 1.04) + (0.71,) * 4


def test_every_run_of_stations_names_its_limit_once_under_its_numbers() -> None:
    """As long as fits the run; the bracket of a run ends where the next one begins."""
    sheet = drawn(replace(strokes(12), used=USED, limits=RUNS))
    written = {piece.text: (role, piece) for role, pieces in sheet.letters.items() for piece in pieces}
    cells = plan_strip(replace(strokes(12), used=USED), AREA, PX, measure).cells
    for run, text in zip(RUNS, ("one pass, up to 62 %", "whole job", "one pass"), strict=True):
        role, piece = written[text]
        assert role == ("over" if run.over else "ink")
        middle = piece.x + measure(text, piece.capital_mm) / 2
        assert cells.span(run.first)[0] < middle < cells.span(run.last)[1]
        assert piece.y < written["3"][1].y
    assert sum(text.startswith(("one", "whole")) for text in texts(sheet)) == len(RUNS)


def test_a_station_that_is_beyond_a_limit_is_told_by_shape_and_colour() -> None:
    strip = replace(strokes(12), used=USED, limits=RUNS)
    plain = drawn(replace(strip, limits=()))
    sheet = drawn(strip)
    assert not plain.corners["over"] and len(sheet.corners["ground"]) // 6 == 1  # a triangle on its full bar
    assert any(b[3] - b[1] > 2 * PX for b in boxes(sheet, "over"))
    assert len(plain.corners["todo"]) - len(sheet.corners["todo"]) == 2 * 6  # no diamond any more
    window = replace(strip, current=0)
    assert len(boxes(drawn(window, asked=True), "over")) == 1  # out of sight, and red in the line of all


def test_a_name_does_not_stand_over_the_bracket_of_another_limit() -> None:
    """Of two short runs side by side and one apart: those beside one another have no room, the one apart may
    go over stations that no limit is named for."""
    runs = (
        LimitRun(2, 2, "one pass", "9 %"),
        LimitRun(3, 3, "whole job", "8 %"),
        LimitRun(8, 8, "soft", "7 %"),
    )
    strip = replace(strokes(12), used=(0.5,) * 12, limits=runs)
    sheet, cells = drawn(strip), plan_strip(strip, AREA, PX, measure).cells
    names = ("one pass", "whole job", "soft")
    for piece in (p for pieces in sheet.letters.values() for p in pieces if p.text.startswith(names)):
        left, right = piece.x, piece.x + measure(piece.text, piece.capital_mm)
        own = next(run for run in runs if piece.text.startswith(run.name))
        others = [cells.span(run.first) for run in runs if run is not own]
        assert all(right <= a + 1e-6 or left >= b - 1e-6 for a, b in others), piece
    assert "soft" in texts(sheet)


def test_feeds_side_by_side_stay_apart() -> None:
    """Two digits a zone of one station: large where they leave room between them, else small."""
    n, apart = 12, 1.0 * PX
    zones = tuple(Bracket(i, i, 2, "", "20 mm/s, 2 s", "20", "1.5") for i in range(n))
    for width in range(60, 180, 5):
        strip = replace(strokes(n), brackets=zones)
        sheet = drawn(strip, area=replace(AREA, width=width * PX))
        found = [(p.x, p.capital_mm) for p in sheet.letters["ink"] if p.text == "20"]
        pairs = pairwise(sorted((x, x + measure("20", mm), mm) for x, mm in found))
        assert all(b[0] - a[1] >= apart or a[2] == b[2] == 3.5 for a, b in pairs), width


def test_numbers_of_the_limits_do_not_run_together() -> None:
    """A third of a line between them at least, else one for both."""
    said = set()
    for high_mm in range(4, 120):
        strip = replace(
            gaps(12), tolerance_mm=(-0.5, 0.5), marks=(*gaps(12).marks[:-1], Mark(high_mm / 4, "", OVER))
        )
        sheet = drawn(strip)
        found = sorted(p.y for p in sheet.letters["quiet"] if p.text in ("+0.50", "0", "\u22120.50"))
        assert all(b - a >= 1.25 * line_mm(3.5) * PX for a, b in pairwise(found)), high_mm
        said |= {p.text for p in sheet.letters["quiet"]}
    assert {"+0.50", "\u00b10.50"} <= said


@pytest.mark.parametrize("n", [5, 12, 30, 200])
def test_names_that_find_no_room_are_left_out_and_none_overlap(n: int) -> None:
    """Every station a run of its own: what is written stays apart, and what is beyond comes first."""
    runs = tuple(
        LimitRun(i, i, ("one pass", "whole job")[i % 2], f"{i} %", over=i == n // 2) for i in range(n)
    )
    high = Area(AREA.x, AREA.y, AREA.width, 52 * PX)
    sheet = drawn(replace(strokes(n), used=(0.5,) * n, limits=runs), centre=n // 2, area=high)
    places = sorted(
        (piece.x, piece.x + measure(piece.text, piece.capital_mm))
        for pieces in sheet.letters.values()
        for piece in pieces
        if piece.text.startswith(("one", "whole"))
    )
    assert places and all(a[1] < b[0] for a, b in pairwise(places))
    assert any(piece.text.startswith(("one", "whole")) for piece in sheet.letters["over"])


def test_a_low_strip_keeps_its_strokes_and_gives_up_names_before_bars() -> None:
    full = replace(strokes(12), used=USED, limits=RUNS)

    def written(high_mm: float) -> list[str]:
        return texts(drawn(full, area=Area(AREA.x, AREA.y, AREA.width, high_mm * PX)))

    assert {"% limit", "whole job"} <= set(written(36.0))
    assert "% limit" in written(32.0) and "whole job" not in written(32.0)
    assert "% limit" not in written(20.0)
    assert all(written(high).count("3") >= 3 for high in (36.0, 32.0, 20.0))


def test_without_a_feed_there_is_room_for_the_names_of_limits_on_a_lower_strip() -> None:
    """While counts are changed no feed is shown: 32 mm hold the names then."""
    full = replace(strokes(12), used=USED, limits=RUNS)
    unfed = replace(full, brackets=tuple(replace(b, feed="", mm_per_s="", s="") for b in full.brackets))
    low = Area(AREA.x, AREA.y, AREA.width, 32.0 * PX)
    assert "whole job" in texts(drawn(unfed, area=low)) and "whole job" not in texts(drawn(full, area=low))


def test_what_is_counted_is_said_shorter_where_the_strip_is_narrow() -> None:
    full = replace(
        strokes(6), scale_text="strokes on each spot of a ring, all round", scale_short="on each spot"
    )
    assert full.scale_text in texts(drawn(full))
    narrow = Area(AREA.x, AREA.y, 80.0 * PX, AREA.height)
    assert {"on each spot"} == {full.scale_text, full.scale_short} & set(texts(drawn(full, area=narrow)))
