"""In a demo the bar answers by itself: the round of gaps that would be read of it now. No kivy here."""

from __future__ import annotations

import core
from shopapp import demo
from shopapp.presenters.session import Session


def gaps_of(session: Session) -> core.Event:
    """The open part's simulated bar, read at every station: an event for the log.

    Gauges are named only where one had to be taken that is not the job's.
    """
    gaps, gauges = demo.bar_of(session.shop.open(session.part_id)).gaps_by_any_gauge()
    return core.gaps_read(gaps, gauges if any(gauges) else None)
