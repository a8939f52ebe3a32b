"""Numbers by site on paper: one row a pass or round, as many columns as fit, the rest of the sites below."""

from __future__ import annotations

from collections.abc import Sequence

from core.printing.pages import INNER_MM, LINE, MARGIN_MM, SMALL, Pages

LABEL_MM, PER_LINE = 26.0, 20
HIGH_MM = SMALL * LINE + 0.6


def draw_matrix(pages: Pages, site: str, rows: Sequence[tuple[str, Sequence[str]]], count: int) -> None:
    """rows : a label and as many cells as there are sites; site : what one is called; count : of sites"""
    wide = (INNER_MM - LABEL_MM) / PER_LINE
    for first in range(0, count, PER_LINE):
        sites = range(first, min(first + PER_LINE, count))
        _line(pages, site, [str(i + 1) for i in sites], wide, head=True)
        told = [(label, cells) for label, cells in rows if any(cells[i] for i in sites)]
        for label, cells in told:
            if pages.need(HIGH_MM):
                _line(pages, site, [str(i + 1) for i in sites], wide, head=True)
            _line(pages, label, [cells[i] for i in sites], wide)
        pages.y += 2.0


def _line(pages: Pages, label: str, cells: Sequence[str], wide: float, head: bool = False) -> None:
    if head:
        pages.need(3 * HIGH_MM)
        pages.shade(MARGIN_MM, pages.y, LABEL_MM + wide * len(cells), HIGH_MM)
    base = pages.y + HIGH_MM - 1.1
    pages.text(MARGIN_MM + 1.0, base, label, SMALL, bold=head)
    for k, cell in enumerate(cells, start=1):
        points = SMALL
        while pages.letters.width_mm(cell, points, head) > wide - 0.6 and points > 5.0:
            points -= 0.5
        pages.right(MARGIN_MM + LABEL_MM + k * wide - 0.6, base, cell, points, bold=head)
    pages.y += HIGH_MM
    pages.rule(pages.y, LABEL_MM + wide * len(cells))
