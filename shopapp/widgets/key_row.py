"""A row of keys among the blocks of a page, for the keys of a screen that its foot has no room for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import Area, fitting
from shopapp.presenters.pieces import Key as KeyData
from shopapp.sizes import GAP_MM, NUMBER_KEY_MM
from shopapp.widgets.key_block import KeyBlock
from shopapp.widgets.look import look

WORD_MM = 24.0
"""Least width of a key, which holds the longest word on one"""


class KeyRow(KeyBlock):
    """keys : at most :func:`across`; each as wide as if the row were full."""

    def __init__(self, keys: Sequence[KeyData], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._row = tuple(keys)
        self.bind(pos=self._place, size=self._place)

    @staticmethod
    def height_for(width: float) -> float:
        """Height in pixels."""
        return look.px(NUMBER_KEY_MM)

    def _place(self, *_: Any) -> None:
        count, gap = across(self.width), look.px(GAP_MM)
        share = (self.width + gap) * len(self._row) / count - gap
        self.show_even(self._row, Area(self.x, self.y, share, self.height), len(self._row))


def across(width: float) -> int:
    """How many keys a row of this width holds."""
    return fitting(width, look.px(WORD_MM), look.px(GAP_MM))
