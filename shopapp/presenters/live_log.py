"""The log of the open part as it counts, kept up to date at little cost while one reading follows another."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import core
from shopapp.presenters import rounds

Event = dict[str, Any]
TAIL = 200
"""entries after which the whole log is gone through again"""
CHANGES = ("withdrawn", "corrected")


class LiveLog:
    """events : the raw log; live : undone entries gone, single readings in rounds (a round may stand in
    two pieces); round_start : how many raw entries come before the first reading of the open round"""

    def __init__(self, events: Iterable[Event] = ()) -> None:
        """The log as it is in the store. Raises core.InputError when an entry points at none."""
        self.events: tuple[Event, ...] = ()
        self.live: list[Event] = []
        self.round_start = 0
        self._settled = 0
        self._settled_live: list[Event] = []
        self._take(tuple(events))

    def add(self, event: Event) -> None:
        """One more entry. What changes an earlier entry costs a walk through the whole log."""
        events = (*self.events, event)
        if event["event"] in CHANGES or len(events) - self._settled > TAIL:
            self._take(events)
            return
        self.events = events
        self.live = self._settled_live + core.effective(events[self._settled :])
        if event["event"] in rounds.NEW_ROUND:
            self.round_start = len(events)

    def _take(self, events: tuple[Event, ...]) -> None:
        self.events = events
        self.live = core.effective(events)
        self.round_start = rounds.round_start(events)
        self._settled, self._settled_live = len(events), self.live
