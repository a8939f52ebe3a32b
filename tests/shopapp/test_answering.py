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
        far = (5, stations - 6)  # 380 mm of arc from the middle to either side, R 1500 mm; a tilt cancels
        mean = sum(event["gaps_mm"][i] for i in far) / 2.0
        assert abs(mean - 1500.0 * (1.0 / cos(380.0 / 1500.0) - 1.0)) < 3.0  # six standard deviations
        assert [event["gauge"][i] for i in far] == ["steel rule", "steel rule"]
        assert event["gauge"][stations // 2] is None
        assert core.refit(session.job, [event]).verdict == "outside"
