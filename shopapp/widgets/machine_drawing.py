"""The section in the throat of the machine, seen along the bar, and its thickness. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.presenters.views import OVER, PLAIN, MachineDrawing
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.size_lines import ROW_MM, level_size

ARM_MM, WALL_MM, FLANGE_MM, TOOL_MM, LINE_MM, APART_MM = 2.5, 4.0, 1.6, 5.0, 0.5, 3.0
GUESS, LOWEST = 5.0, 0.42
"""reaches that a throat of which nothing is known is drawn deep at least; share of the height that is left
below the flange, or above it, at least"""


def draw_machine(sheet: Sheet, drawing: MachineDrawing, area: Area) -> None:
    """At the left the throat from the tool to the frame with the section in front of it, to scale; at the
    right the thickness as a column against the line of what the machine takes."""
    rest = area.all_of_it()
    if drawing.thickness_mm is not None or drawing.takes_mm is not None:
        texts = [f"to {drawing.takes_text}", drawing.thickness_text]
        wide = max(sheet.measure(text, CLOSE_MM) for text in texts)
        _thickness(sheet, drawing, rest.right(max(wide, sheet.px * 12), sheet.px * APART_MM))
    _throat(sheet, drawing, rest)


def _throat(sheet: Sheet, drawing: MachineDrawing, area: Area) -> None:
    """Arms above and below, the frame behind them, pale and anywhere where the throat is not known."""
    per_mm, start, middle = _placed(sheet, drawing, area)
    known, reach, half = drawing.throat_mm is not None, drawing.reach_mm, sheet.px * FLANGE_MM / 2
    thick = sheet.px * WALL_MM
    wall = area.x + area.width - thick if drawing.throat_mm is None else start + per_mm * drawing.throat_mm
    upper, lower = area.top(sheet.px * ARM_MM), area.bottom(sheet.px * ARM_MM)
    for arm in (upper, lower):
        sheet.box("rule", start, arm.y, wall + thick, arm.y + arm.height)
    sheet.box("rule" if known else "band", wall, lower.y, wall + thick, upper.y + upper.height)
    grip = reach if drawing.jaws_mm is None else drawing.jaws_mm
    jaws = start + (sheet.px * TOOL_MM / 2 if grip is None else min(per_mm * grip, wall - start))
    for y0, y1 in ((middle + half, upper.y), (lower.y + lower.height, middle - half)):
        sheet.box("quiet", start, y0, jaws, y1)
    beside = jaws + sheet.px
    row = Area(beside, middle + half, wall - beside, sheet.px * ROW_MM)
    after = Area(wall + thick + sheet.px, area.y, area.x + area.width - wall - thick - sheet.px, area.height)
    _size(sheet, (start, wall), row, after, ("throat", drawing.throat_text), above=True)
    if reach is None:
        return
    end = start + per_mm * reach
    _section(sheet, drawing, end, middle, per_mm)
    sheet.box("over" if drawing.deep == OVER else "go", start, middle - half, end, middle + half)
    if drawing.reach_text:
        row = Area(beside, middle - half - sheet.px * ROW_MM, wall - beside, sheet.px * ROW_MM)
        _size(sheet, (start, end), row, after, (drawing.reach_name, drawing.reach_text))


def _placed(sheet: Sheet, drawing: MachineDrawing, area: Area) -> tuple[float, float, float]:
    """Pixels a mm, so that section and throat have room; where the throat begins, how high the flange."""
    reach = drawing.reach_mm or 0.0
    front = max([-y0 - reach for y0, *_ in drawing.section] + [0.0])
    deep = max(drawing.throat_mm or GUESS * (reach or 1.0), reach)
    edge = sheet.px * (0.5 if drawing.section else TOOL_MM / 2)
    per_mm = (area.width - sheet.px * WALL_MM - edge) / (front + deep)
    below = max([-z0 for _, z0, *_ in drawing.section] + [0.0])
    above = max([z1 for *_, z1 in drawing.section] + [0.0])
    share = min(max(below / (below + above), LOWEST), 1.0 - LOWEST) if below + above > 0.0 else 0.5
    middle = area.y + share * area.height
    for high, room in ((below, share), (above, 1.0 - share)):
        if high > 0.0:
            per_mm = min(per_mm, (room * area.height - sheet.px * FLANGE_MM) / high)
    return per_mm, area.x + edge + per_mm * front, middle


def _section(sheet: Sheet, drawing: MachineDrawing, edge: float, middle: float, per_mm: float) -> None:
    """Walls as thick as they are but never too thin to be seen. edge : where the free edge lies"""
    least = sheet.px * FLANGE_MM
    for y0, z0, y1, z1 in drawing.section:
        low, high = middle + per_mm * z0, middle + per_mm * z1
        left, right = edge + per_mm * y0, edge + per_mm * y1
        up, side = max(0.0, least - (high - low)) / 2, max(0.0, least - (right - left)) / 2
        sheet.box("ink", left, low - up, right + 2 * side, high + up)


def _size(
    sheet: Sheet,
    ends: tuple[float, float],
    row: Area,
    after: Area,
    words: tuple[str, str],
    above: bool = False,
) -> None:
    """A size with its name in its row, or beyond the frame, as much as there is room for. words : name
    and size"""
    texts = (" ".join(words), words[1])
    inside = next((text for text in texts if sheet.measure(text, CLOSE_MM) <= row.width), "")
    level_size(sheet, *ends, row, inside, above=above)
    beyond = next((text for text in texts if sheet.measure(text, CLOSE_MM) <= after.width), "")
    if not inside and beyond:
        sheet.text("ink", beyond, after.x, row.y + row.height / 2, CLOSE_MM, 0.0)


def _thickness(sheet: Sheet, drawing: MachineDrawing, column: Area) -> None:
    """A column as high as the metal is thick, a bold line at what the machine takes, both to one scale."""
    thickness, takes = drawing.thickness_mm, drawing.takes_mm
    row = sheet.px * line_mm(CLOSE_MM)
    above, below = column.top(row), column.bottom(row)
    x = column.x + column.width / 2
    sheet.text("ink", f"to {drawing.takes_text}", x, above.y + row / 2, CLOSE_MM)
    role = {OVER: "over", PLAIN: "ink"}.get(drawing.thick, "go")
    sheet.text("ink", drawing.thickness_text, x, below.y + row / 2, CLOSE_MM)
    per_mm = (column.height - sheet.px * LINE_MM) / max(takes or 0.0, thickness or 0.0)
    half = sheet.px * 3
    if thickness is not None:
        sheet.box(role, x - half, column.y, x + half, column.y + per_mm * thickness)
    if takes is not None:
        sheet.level("ink", x - 2 * half, x + 2 * half, column.y + per_mm * takes, sheet.px * 2 * LINE_MM)
    sheet.level("rule", x - 2 * half, x + 2 * half, column.y, sheet.px * LINE_MM)
