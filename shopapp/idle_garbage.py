"""Full searches for garbage, moved from amid a touch to when nobody touches the screen."""

from __future__ import annotations

import gc
from collections.abc import Callable

DUE, PUT_OFF = 10, 60
"""Searches of the middle generation after which a full one is due, as Python has it; after which one is made
amid whatever is going on"""
IDLE_S = 1.5
"""Time without a touch after which a full search may begin: it holds the screen up for some 50 ms"""


class IdleGarbage:
    """since_touch_s : time since the last touch."""

    def __init__(self, since_touch_s: Callable[[], float]) -> None:
        self._since_touch_s = since_touch_s
        self._usual = gc.get_threshold()

    def start(self) -> None:
        """Put full searches off from now on."""
        gc.set_threshold(*self._usual[:2], PUT_OFF)

    def stop(self) -> None:
        """As it was."""
        gc.set_threshold(*self._usual)

    def look(self, *_: object) -> None:
        """Search where it is due and nobody touches the screen; to be called now and then."""
        if gc.get_count()[2] >= DUE and self._since_touch_s() >= IDLE_S:
            gc.collect()
