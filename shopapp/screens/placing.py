"""Small help for laying out: margins, placing a widget, the key that turns pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import Area
from shopapp.presenters.pieces import Key as KeyData
from shopapp.widgets.look import look

FURTHER, MARGIN_MM = "further", 1.0


def margined(area: Area) -> Area:
    """An area with a margin at its left and right, for what is read and not touched."""
    margin = look.px(MARGIN_MM)
    return Area(area.x + margin, area.y, area.width - 2 * margin, area.height)


def put(widget: Any, area: Area) -> None:
    """Set a widget where an area says."""
    widget.pos, widget.size = (area.x, area.y), (area.width, area.height)


def with_further(data: Sequence[KeyData], page: int, count: int) -> tuple[KeyData, ...]:
    """The keys with one that turns the pages, first of all."""
    return (KeyData(FURTHER, f"Page {page + 1} of {count}"), *data)
