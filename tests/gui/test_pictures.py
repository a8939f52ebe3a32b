"""Pictures of the set-up as they are drawn: inside their bounds, to scale, no word cut or over another."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from shopapp.areas import Area
from shopapp.presenters.picture_views import (
    CurveDrawing,
    MachineDrawing,
    StrainMark,
    StrengthDrawing,
    ToolDrawing,
)
from shopapp.presenters.pieces import OVER, PLAIN
from shopapp.presenters.wording import size
from shopapp.sizes import line_mm
from shopapp.widgets.machine_drawing import draw_machine
from shopapp.widgets.metal_drawing import draw_curve, draw_strengths
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.tool_drawing import draw_tool
from tests.gui import operator
from tests.gui.screens_of import HELD

PX = 6.0
BOTH = (("together", "Shrink"), ("apart", "Stretch"))
CURVE = tuple((0.01 * i, 420.0 * (0.01 * i) ** 0.3) for i in range(31))
MARKS = (StrainMark(0.24, "anneal 24 %", True), StrainMark(0.027, "this part 2.7 %"))


def tool(*given: Any) -> ToolDrawing:
    """With its texts."""
    length, depth, _free, flange, _arrows = given
    return ToolDrawing(*given, size(length), size(depth), size(flange) if flange else "")


ANGLE = ((-40.0, -0.75, 0.0, 0.75), (-40.0, 0.75, -38.5, 39.25))
CHANNEL = ((-50.0, -1.0, 0.0, 1.0), (-50.0, 99.0, -15.0, 101.0), (-50.0, 1.0, -48.0, 99.0))


def machine(*given: Any) -> MachineDrawing:
    """With its texts; states where they are given."""
    lengths, states = given[:4], given[4:] or (PLAIN, PLAIN)
    return MachineDrawing(*lengths, *states, *("?" if mm is None else size(mm) for mm in lengths))


DRAWINGS: dict[str, tuple[Any, Any]] = {
    "tool": (draw_tool, tool(20.0, 15.0, 5.0, 40.0, BOTH)),
    "tool, small patch": (draw_tool, tool(8.0, 6.0, 2.0, 120.0, BOTH)),
    "tool, long patch": (draw_tool, tool(60.0, 10.0, 15.0, 25.0, BOTH)),
    "tool, deep patch": (draw_tool, tool(20.0, 30.0, 5.0, 12.5, BOTH[:1])),
    "tool, no flange": (draw_tool, tool(20.0, 15.0, 5.0, None, BOTH)),
    "machine": (draw_machine, machine(40.0, 120.0, 1.5, 2.73, "ok", "ok")),
    "machine, too small": (draw_machine, machine(140.0, 120.0, 3.5, 2.73, OVER, OVER)),
    "machine, large": (draw_machine, machine(12.0, 1200.0, 0.5, 12.75, "ok", "ok")),
    "machine, not known": (draw_machine, machine(40.0, None, 1.5, None)),
    "machine alone": (draw_machine, machine(None, 120.0, None, 2.0)),
    "nothing": (draw_machine, machine(None, None, None, None)),
    "machine, angle": (draw_machine, replace(machine(15.0, 120.0, 1.5, 2.73, "ok", "ok"), section=ANGLE)),
    "machine, channel": (draw_machine, replace(machine(15.0, 500.0, 2.0, 2.73, "ok", "ok"), section=CHANNEL)),
    "machine, narrow": (draw_machine, replace(machine(15.0, 12.0, 1.5, 1.36, OVER, OVER), section=ANGLE)),
    "machine, disc": (
        draw_machine,
        replace(
            machine(145.0, 150.0, 1.2, 2.73, "ok", "ok"),
            reach_name="innermost ring",
            jaws_mm=15.0,
            section=((-193.0, -0.6, 0.0, 0.6),),
        ),
    ),
    "machine, angle not typed": (
        draw_machine,
        replace(machine(15.0, None, None, None), section=ANGLE, reach_text=""),
    ),
    "curve": (
        draw_curve,
        CurveDrawing(CURVE, (0.0, 0.1, 0.2, 0.3), (0.0, 100.0, 200.0, 300.0), (0.345, 350.0), MARKS),
    ),
    "strengths": (
        draw_strengths,
        StrengthDrawing(
            (("proof", 120.0, 120.0), ("tensile", 200.0, 260.0)), (0.0, 100.0, 200.0, 300.0), 300.0
        ),
    ),
}
AREAS = {
    "right column": Area(10.0, 20.0, 86 * PX, 36 * PX),
    "half of a small screen": Area(0.0, 0.0, 65 * PX, 25 * PX),
}


def measure(text: str, capital_mm: float) -> float:
    """Width of text whose letters are all 0.72 of their height wide, as Roboto's are on average."""
    return 0.72 * capital_mm * PX * len(text)


def boxes(sheet: Sheet) -> list[tuple[str, float, float, float, float]]:
    """Everything written, with the rectangle that it takes."""
    return [
        (w.text, w.x, w.y - half, w.x + measure(w.text, w.capital_mm), w.y + half)
        for words in sheet.letters.values()
        for w in words
        for half in [line_mm(w.capital_mm) * PX / 2]
    ]


def outside(sheet: Sheet, area: Area) -> list[Any]:
    """What is drawn or written beyond an area, with a slack of half a line's width."""
    slack = 0.6 * PX
    x1, y1 = area.x + area.width + slack, area.y + area.height + slack
    corners = [c for flat in sheet.corners.values() for c in zip(flat[::2], flat[1::2], strict=True)]
    found: list[Any] = [
        c for c in corners if not (area.x - slack <= c[0] <= x1 and area.y - slack <= c[1] <= y1)
    ]
    return found + [
        b for b in boxes(sheet) if b[1] < area.x - slack or b[3] > x1 or b[2] < area.y - slack or b[4] > y1
    ]


def colliding(sheet: Sheet) -> list[tuple[str, str]]:
    """Texts that lie over each other; lines of text have air above and below, so a third of it may touch."""
    air = 0.17 * line_mm(3.5) * PX
    return [
        (a[0], b[0])
        for a, b in combinations(boxes(sheet), 2)
        if a[1] < b[3] - 1 and b[1] < a[3] - 1 and a[2] + air < b[4] - air and b[2] + air < a[4] - air
    ]


def test_words_of_the_marks_do_not_hide_a_low_curve() -> None:
    """Beside it then, each on a line of its own; where there is room they stand at their marks."""
    draw, drawing = DRAWINGS["curve"]
    for high_mm, beside in ((22.0, True), (50.0, False)):
        sheet, area = Sheet(PX, measure), Area(0.0, 0.0, 100 * PX, high_mm * PX)
        draw(sheet, drawing, area.all_of_it())
        words = [box for box in boxes(sheet) if box[0] in {mark.text for mark in MARKS}]
        end = max(sheet.corners["go"][::2])  # of the curve
        assert [x0 > end for _, x0, *_ in words] == [beside, beside]
        assert not outside(sheet, area)


@pytest.mark.parametrize("where", AREAS)
@pytest.mark.parametrize("name", DRAWINGS)
def test_drawings_stay_inside_and_their_words_apart(name: str, where: str) -> None:
    draw, drawing = DRAWINGS[name]
    sheet, area = Sheet(PX, measure), AREAS[where]
    draw(sheet, drawing, area.all_of_it())
    assert sheet.corners
    assert outside(sheet, area) == []
    assert colliding(sheet) == []


def extent(sheet: Sheet, role: str) -> tuple[float, float]:
    """Leftmost and rightmost of what is drawn in a colour."""
    return min(sheet.corners[role][::2]), max(sheet.corners[role][::2])


def test_the_throat_is_to_scale() -> None:
    """A flange of 40 mm takes a third of a throat of 120 mm; one too deep goes beyond the frame's face."""
    for reach, role in ((40.0, "go"), (140.0, "over")):
        sheet = Sheet(PX, measure)
        drawing = machine(reach, 120.0, None, None, OVER if role == "over" else "ok", PLAIN)
        draw_machine(sheet, drawing, AREAS["right column"].all_of_it())
        start, end = extent(sheet, role)
        frame = extent(sheet, "rule")[1] - 4.0 * PX
        assert (end - start) / (frame - start) == pytest.approx(reach / 120.0)


def test_the_section_lies_before_the_machine_to_scale() -> None:
    """A flange of 40 mm, 15 mm of it in the jaws: 25 mm in front of a throat of 120 mm."""
    sheet = Sheet(PX, measure)
    drawing = replace(machine(15.0, 120.0, None, None, "ok", PLAIN), section=ANGLE)
    draw_machine(sheet, drawing, AREAS["right column"].all_of_it())
    start, end = extent(sheet, "go")
    heel = extent(sheet, "ink")[0]
    assert (start - heel) / (end - start) == pytest.approx(25.0 / 15.0)
    assert (end - start) / (extent(sheet, "rule")[1] - 4.0 * PX - start) == pytest.approx(15.0 / 120.0)


def test_the_patch_is_to_scale() -> None:
    """20 x 15 mm on a flange of 40 mm: halves as deep as 3/8 of it, a patch as long as half of it."""
    sheet = Sheet(PX, measure)
    draw_tool(sheet, tool(20.0, 15.0, 5.0, 40.0, BOTH[:1]), AREAS["right column"].all_of_it())
    flange = sheet.corners["band"][1::2]
    deep = max(flange) - min(flange)
    halves = sheet.corners["rule"][12:]  # after the line of the heel
    xs, ys = halves[::2], halves[1::2]
    grips = [y for y in ys if y > min(flange) + PX]
    assert (max(grips) - min(grips)) / deep == pytest.approx(15.0 / 40.0)
    assert (max(xs) - min(xs)) / deep == pytest.approx(20.0 / 40.0)


@pytest.mark.gui
@pytest.mark.parametrize("held", HELD)
def test_pictures_on_the_screen(start: Any, held: str) -> None:
    """On every screen each picture of the steps is on some page, its words inside it; it is drawn anew as
    a size is typed."""
    from shopapp.widgets.glyphs import measured
    from shopapp.widgets.picture import PictureBlock

    driver = start(HELD[held])
    operator.fill_in(driver)
    seen = set()
    for step in ("section", "tool", "machine"):
        driver.screen.press(f"step:{step}")
        for _ in range(driver.screen.pages.count):
            driver.idle()
            for block in driver.widgets(PictureBlock):
                seen.add(type(block.picture.drawing).__name__)
                room = block.drawn_in()
                texts = [w for words in block.sheet.letters.values() for w in words]
                assert texts
                for word in texts:
                    assert room.x - 1 <= word.x, word.text
                    assert word.x + measured(word.text, word.capital_mm) <= room.x + room.width + 1, word.text
            if driver.screen.pages.count > 1:
                driver.screen.press("further")
    assert seen == {"Profile", "CurveDrawing", "ToolDrawing", "MachineDrawing"}
    driver.screen.press("step:tool")
    driver.screen.press("field:tool.patch_length")
    for letter in ("\b", "\b", "3", "0"):
        driver.screen.typed(letter)
    driver.idle()
    (block,) = driver.widgets(PictureBlock)
    assert block.picture.drawing.patch_length_mm == 30.0
    assert "30 mm" in {w.text for words in block.sheet.letters.values() for w in words}
