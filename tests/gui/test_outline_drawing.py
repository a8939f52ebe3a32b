"""The line and the cross-section: what is drawn where, and what is written beside it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopapp.areas import Area
from shopapp.presenters.pieces import Outline, Profile
from shopapp.widgets.outline import draw_outline
from shopapp.widgets.profile import NAME, draw_profile
from shopapp.widgets.sheet import Lettering, Sheet

PX = 6.0
AREA = Area(10.0, 20.0, 90 * PX, 45 * PX)
LINE = tuple((float(x), x * x / 3000.0) for x in range(0, 1201, 100))
EDGES = (tuple((x, y + 80.0) for x, y in LINE), tuple((x, y - 80.0) for x, y in LINE))
PART = Outline(LINE, band=EDGES, limit_text="0.50", factor=200, factor_text="tolerance × 200")
TURNED = tuple((x, -y) for x, y in LINE)


def measure(text: str, capital_mm: float) -> float:
    """Width of text whose letters are all 0.8 of their height wide."""
    return 0.8 * capital_mm * PX * len(text)


def drawn(outline: Outline) -> Sheet:
    """The outline on a sheet."""
    sheet = Sheet(PX, measure)
    draw_outline(sheet, outline, AREA)
    return sheet


def written(sheet: Sheet) -> dict[str, Lettering]:
    """Everything written, by its text."""
    return {piece.text: piece for pieces in sheet.letters.values() for piece in pieces}


def test_the_lines_of_the_tolerance_have_their_numbers() -> None:
    """Each before its own end: the inner edge is minus, the outer plus; nothing leaves the area."""
    texts = written(drawn(PART))
    assert texts["−0.50"].y > texts["+0.50"].y
    for piece in texts.values():
        assert AREA.x <= piece.x and piece.x + measure(piece.text, 3.5) <= AREA.x + AREA.width


def test_close_lines_of_the_tolerance_share_a_number() -> None:
    """Two texts over each other could not be read."""
    close = tuple(tuple((x, y + d) for x, y in LINE) for d in (4.0, -4.0))
    texts = written(drawn(replace(PART, band=close)))
    assert "±0.50" in texts and "+0.50" not in texts


@pytest.mark.parametrize("line", [LINE, TURNED])
def test_the_worked_edge_is_bold_with_its_arrows(line: tuple[tuple[float, float], ...]) -> None:
    """What is drawn besides the line: a wider line, two pictures, the numbers of both ends."""
    bare = Outline(line)
    edge = tuple((x, y + 60.0) for x, y in line)
    ends = ((line[0], "1"), (line[-1], "30"))
    worked = replace(bare, worked=edge, arrows=((line[4], "together"), (line[8], "apart")), ends=ends)
    sheet = drawn(worked)
    assert set(written(sheet)) == {"1", "30"}
    triangles = len(sheet.corners["ink"]) // 6 - len(drawn(bare).corners["ink"]) // 6
    assert triangles == 2 * (len(line) - 1) + 6 + 6  # two for each piece of the edge, six for each picture


def test_the_section_names_each_worked_edge() -> None:
    """A channel worked on both flanges: its name twice, to the right of the free edges, inside the area."""
    flanges = ((0.0, 0.0, 30.0, 1.5), (0.0, 58.5, 30.0, 60.0))
    edges = tuple((15.0, z0, y1, z1) for _, z0, y1, z1 in flanges)
    profile = Profile((*flanges, (0.0, 1.5, 1.5, 58.5)), edges)
    sheet = Sheet(PX, measure)
    draw_profile(sheet, profile, AREA)
    names = [piece for piece in sheet.letters["ink"] if piece.text == NAME]
    assert len(names) == 2
    free_edge = max(sheet.corners["go"][::2])
    for name in names:
        assert free_edge < name.x
        assert name.x + measure(NAME, 3.5) <= AREA.x + AREA.width
    walls = sheet.corners["rule"]
    assert max(walls[1::2]) <= AREA.y + AREA.height and min(walls[1::2]) >= AREA.y
    for corners in (walls, sheet.corners["go"]):
        heights = [
            max(corners[i + 1 : i + 12 : 2]) - min(corners[i + 1 : i + 12 : 2])
            for i in range(0, len(corners), 12)
        ]
        assert min(heights) >= 0.8 * PX - 1e-6  # thin sheet is still to be seen
