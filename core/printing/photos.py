"""Photos of a part's checks on paper, two in a row, each with what it shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from core.printing.pages import INNER_MM, LINE, MARGIN_MM, SMALL, Pages
from core.records.checks import Check

APART_MM = 6.0
WIDE_MM, HIGH_MM = 0.5 * (INNER_MM - APART_MM), 62.0


def photos_told(pages: Pages, checks: Sequence[Check], photos: Mapping[str, bytes]) -> None:
    """Those of the readings that count. photos : pictures by name, those that are at hand"""
    named = {check.photo: check.label for check in checks if check.photo and check.latest}
    if not named:
        return
    shown = [(path, label) for path, label in named.items() if path in photos]
    pages.heading("Photos", keep_mm=HIGH_MM + 2.0 * SMALL * LINE if shown else 8.0)
    for first in range(0, len(shown), 2):
        _row(pages, shown[first : first + 2], photos)
    missing = [path for path in named if path not in photos]
    if missing:
        pages.paragraph(f"Not at hand, or not to be read as a picture: {', '.join(missing)}.")


def _row(pages: Pages, shown: Sequence[tuple[str, str]], photos: Mapping[str, bytes]) -> None:
    """Side by side, the words under them."""
    words = [pages.letters.wrapped(f"{label}: {path}", SMALL, WIDE_MM) for path, label in shown]
    high = HIGH_MM + (max(map(len, words)) + 0.5) * SMALL * LINE
    pages.need(high)
    for k, (path, _) in enumerate(shown):
        x = MARGIN_MM + k * (WIDE_MM + APART_MM)
        pages.document.image(photos[path], x, pages.y, WIDE_MM, HIGH_MM, keep_aspect_ratio=True)
        for line, text in enumerate(words[k], start=1):
            pages.text(x, pages.y + HIGH_MM + line * SMALL * LINE, text, SMALL)
    pages.y += high
