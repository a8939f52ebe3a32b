"""The demo's bar is read by itself."""

from __future__ import annotations

from datetime import UTC, datetime
from math import cos

import core
from shopapp.answering import gaps_of
from shopapp.demo_jobs import demo_jobs
from shopapp.presenters.session import Session


def test_a_straight_bar_is_read_at_every_station_with_the_rule_where_leaves_end() -> None:
    """A straight bar touches an arc held inside amid; along its radius it is R (1/cos - 1) off."""
    with core.Shop(core.MemoryFolder()) as shop:
        session = Session(shop, lambda: datetime(2030, 5, 17, tzinfo=UTC))
        session.open(shop.new_part(demo_jobs()["shutter-rib"]))
        event = gaps_of(session)
        stations = len(session.job.part.sites)
        assert len(event["gaps_mm"]) == stations
        far = 5  # 380 mm of arc from the middle, R 1500 mm
        assert abs(event["gaps_mm"][far] - 1500.0 * (1.0 / cos(380.0 / 1500.0) - 1.0)) < 5.0
        assert event["gauge"][far] == "steel rule"
        assert event["gauge"][stations // 2] is None
        assert core.refit(session.job, [event]).verdict == "outside"
