"""Pages of A4 that are filled from above: headings, paragraphs, tables, each page with its foot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from core.drawing.paper import empty_pdf
from core.drawing.tiling import SHEETS
from core.printing.letters import Fonts, Letters

WIDE_MM, HIGH_MM = SHEETS["A4"]
MARGIN_MM, FOOT_MM = 12.0, 10.0
INNER_MM = WIDE_MM - 2 * MARGIN_MM
SMALL, PLAIN, HEADING, LARGE = 7.5, 8.5, 11.0, 18.0  # points
MM_PER_POINT = 25.4 / 72.0
LINE = 1.25 * MM_PER_POINT  # height of a line, mm per point
INK, GREY, RULE, SHADE = 0, 90, 150, 232
PAD_MM = 1.0
SAYS_INSTEAD = "take it as csv or json"


class Pages:
    """A document that is filled from above. ``y`` : where the next thing goes, mm from the upper edge."""

    def __init__(self, title: str, foot: str, fonts: Fonts) -> None:
        """title : of the document; foot : what stands at the foot of every page before its number"""
        self.document: Any = empty_pdf((WIDE_MM, HIGH_MM), "records", SAYS_INSTEAD)
        self.document.set_title(title)
        self.letters = Letters(self.document, fonts)
        self._foot = foot
        self.begin_page()

    def begin_page(self) -> None:
        """The next thing goes to the top of a new page."""
        self.document.add_page()
        self.document.set_line_width(0.15)
        self.y = MARGIN_MM

    @property
    def left_mm(self) -> float:
        """Of the page, down to its foot."""
        return HIGH_MM - MARGIN_MM - FOOT_MM - self.y

    def need(self, high_mm: float) -> bool:
        """Begin a new page where so much is not left; whether one was begun."""
        if high_mm <= self.left_mm or self.y <= MARGIN_MM:
            return False
        self.begin_page()
        return True

    def text(self, x: float, y: float, text: str, points: float = PLAIN, bold: bool = False) -> None:
        """One line, the left end of its base line there."""
        self.letters.put(x, y, text, points, bold)

    def centred(self, x: float, y: float, text: str, points: float = PLAIN, bold: bool = False) -> None:
        """One line, the middle of its base line there."""
        self.letters.put(x - 0.5 * self.letters.width_mm(text, points, bold), y, text, points, bold)

    def right(self, x: float, y: float, text: str, points: float = PLAIN, bold: bool = False) -> None:
        """One line, the right end of its base line there."""
        self.letters.put(x - self.letters.width_mm(text, points, bold), y, text, points, bold)

    def paragraph(self, text: str, points: float = PLAIN, bold: bool = False, indent_mm: float = 0.0) -> None:
        """A text over as many lines as it takes."""
        for line in self.letters.wrapped(text, points, INNER_MM - indent_mm, bold):
            self.need(points * LINE)
            self.y += points * LINE
            self.text(MARGIN_MM + indent_mm, self.y - 0.25 * points * MM_PER_POINT, line, points, bold)

    def heading(self, text: str, keep_mm: float = 20.0) -> None:
        """A heading, on the page where so much of what follows it is as well."""
        self.y += 4.0
        self.need(keep_mm + HEADING * LINE)
        self.paragraph(text, HEADING, bold=True)
        self.y += 1.0

    def table(
        self,
        header: Sequence[str],
        rows: Sequence[Sequence[str]],
        widths_mm: Sequence[float],
        headed: bool = True,
    ) -> None:
        """Cells over as many lines as they take; the header, if there is one, stands again on every page."""
        if headed:
            self.need(self._high(header, widths_mm, bold=True) + 3 * SMALL * LINE)
            self._row(header, widths_mm, bold=True)
        for row in rows:
            if self.need(self._high(row, widths_mm)) and headed:
                self._row(header, widths_mm, bold=True)
            self._row(row, widths_mm)
        self.y += 1.5 if headed else 0.0

    def _lines(self, row: Sequence[str], widths_mm: Sequence[float], bold: bool) -> list[list[str]]:
        pairs = zip(row, widths_mm, strict=True)
        return [self.letters.wrapped(cell, SMALL, wide - 2 * PAD_MM, bold) for cell, wide in pairs]

    def _high(self, row: Sequence[str], widths_mm: Sequence[float], bold: bool = False) -> float:
        return SMALL * LINE * max(map(len, self._lines(row, widths_mm, bold))) + PAD_MM

    def _row(self, row: Sequence[str], widths_mm: Sequence[float], bold: bool = False) -> None:
        high = self._high(row, widths_mm, bold)
        self.need(high)
        if bold:
            self.shade(MARGIN_MM, self.y, sum(widths_mm), high)
        x = MARGIN_MM
        for lines, wide in zip(self._lines(row, widths_mm, bold), widths_mm, strict=True):
            for k, line in enumerate(lines, start=1):
                self.text(x + PAD_MM, self.y + k * SMALL * LINE - 0.2, line, SMALL, bold)
            x += wide
        self.y += high
        self.rule(self.y, sum(widths_mm))

    def shade(self, x: float, y: float, wide: float, high: float, grey: int = SHADE) -> None:
        """A field in light grey."""
        self.document.set_fill_color(grey)
        self.document.rect(x, y, wide, high, style="F")

    def rule(self, y: float, wide: float = INNER_MM) -> None:
        """A thin line across."""
        self.document.set_draw_color(RULE)
        self.document.line(MARGIN_MM, y, MARGIN_MM + wide, y)
        self.document.set_draw_color(INK)

    def done(self) -> bytes:
        """The whole document, now that the number of its pages is known."""
        count = len(self.document.pages)
        for page in range(1, count + 1):
            self.document.page = page
            self._page_foot(f"page {page} of {count}")
        return bytes(self.document.output())

    def _page_foot(self, place: str) -> None:
        y = HIGH_MM - MARGIN_MM
        self.rule(y - FOOT_MM + 5.0)
        room = INNER_MM - self.letters.width_mm(place, SMALL) - 5.0
        name, *more = self.letters.wrapped(self._foot, SMALL, room)
        self.text(MARGIN_MM, y - 1.0, f"{name} …" if more else name, SMALL)
        self.right(WIDE_MM - MARGIN_MM, y - 1.0, place, SMALL)
