"""The worked edge in the throat of the machine, seen along the bar, and its thickness. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.presenters.views import OVER, PLAIN, MachineDrawing
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.size_lines import ROW_MM, level_size

ARM_MM, WALL_MM, FLANGE_MM, TOOL_MM, LINE_MM, APART_MM = 2.5, 4.0, 1.6, 5.0, 0.5, 3.0


def draw_machine(sheet: Sheet, drawing: MachineDrawing, area: Area) -> None:
    """At the left the throat from the middle of the tool to the frame, to scale along; at the right the
    thickness as a column against the line of what the machine takes."""
    rest = area.all_of_it()
    if drawing.thickness_mm is not None or drawing.takes_mm is not None:
        texts = [f"to {drawing.takes_text}", drawing.thickness_text]
        wide = max(sheet.measure(text, CLOSE_MM) for text in texts)
        _thickness(sheet, drawing, rest.right(max(wide, sheet.px * 12), sheet.px * APART_MM))
    _throat(sheet, drawing, rest)


def _throat(sheet: Sheet, drawing: MachineDrawing, area: Area) -> None:
    """Arms above and below, the frame behind them; one that is not known is left open."""
    reach, throat = drawing.reach_mm, drawing.throat_mm
    upper, lower = area.top(sheet.px * ARM_MM), area.bottom(sheet.px * ARM_MM)
    start = area.x + sheet.px * TOOL_MM / 2
    room = area.x + area.width - sheet.px * WALL_MM - start
    longest = max(throat or 1.4 * (reach or 1.0), reach or 0.0)
    per_mm = room / longest
    wall = start + per_mm * (throat or longest)
    for arm in (upper, lower):
        sheet.box("rule", area.x, arm.y, wall + sheet.px * WALL_MM, arm.y + arm.height)
    if throat is not None:
        sheet.box("rule", wall, lower.y, wall + sheet.px * WALL_MM, upper.y + upper.height)
    middle = area.y + area.height / 2
    half = sheet.px * FLANGE_MM / 2
    sides = sheet.px * TOOL_MM / 2
    for y0, y1 in ((middle + half, upper.y), (lower.y + lower.height, middle - half)):
        sheet.box("quiet", start - sides, y0, start + sides, y1)
    beside = start + sides + sheet.px
    if throat is not None:
        row = Area(beside, middle + half, wall - beside, sheet.px * ROW_MM)
        level_size(sheet, start, wall, row, _named(sheet, "throat", drawing.throat_text, row), above=True)
    if reach is not None:
        end = start + per_mm * reach
        role = "over" if drawing.deep == OVER else "go"
        sheet.box(role, start, middle - half, end, middle + half)
        row = Area(beside, middle - half - sheet.px * ROW_MM, wall - beside, sheet.px * ROW_MM)
        level_size(sheet, start, end, row, _named(sheet, "edge", drawing.reach_text, row))


def _named(sheet: Sheet, name: str, size: str, row: Area) -> str:
    """The size with its name where the row is wide enough."""
    text = f"{name} {size}"
    return text if sheet.measure(text, CLOSE_MM) <= row.width else size


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
