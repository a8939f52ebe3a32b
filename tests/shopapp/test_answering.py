"""The demo's bar is read by itself."""

from __future__ import annotations

from datetime import UTC, datetime
from math import cos

import core
from shopapp import demo
from shopapp.answering import gaps_of, rim_of
from shopapp.demo_jobs import demo_jobs
from shopapp.presenters.rim import RimHeightPresenter, RimPresenter
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


def test_an_offcut_of_the_demo_tells_the_truth_of_its_bars() -> None:
    """Strokes on a spot of the offcut and of any bar of the same metal and tool do the same but for what lies
    in the piece: 5 % of standard deviation each."""
    with core.Shop(core.MemoryFolder()) as shop:
        jobs = demo_jobs()
        parts = [
            shop.open(shop.new_part(jobs[name])) for name in ("shutter-rib", "gutter-rib", "wind-vane-rib")
        ]
        bars = [demo.bar_of(part) for part in parts]
        job = core.job(parts[0].job_document)
        offcut = demo.offcut_of(core.trial_plan(job, "shrink", "medium"))
        truths = [bar.truth for bar in (*bars, offcut)]
    for truth in truths[1:]:
        assert (truth.action, truth.bite, truth.exponent) == (
            truths[0].action,
            truths[0].bite,
            truths[0].exponent,
        )
        assert 0.75 < truth.common / truths[0].common < 1.35  # four of sqrt(2) times 5 %
    assert len({truth.common for truth in truths}) == len(truths)
    assert len({truth.unevenness.phase[0] for truth in truths}) == len(truths)


def test_the_rise_is_read_on_the_hollow_side_and_by_the_rule_where_the_gauge_ends() -> None:
    """Strokes at the middle alone, of kink k: half the chord times half of k is the rise, c k / 4."""
    with core.Shop(core.MemoryFolder()) as shop:
        job = core.job(shop.open(shop.new_part(demo_jobs()["shutter-rib"])).job_document)
        trial = core.trial_plan(job, "stretch", "medium", gauge=core.GAUGES["dial"])
    offcut = demo.offcut_of(trial)
    sites = len(trial.job.part.sites)
    middle = trial.spots[len(trial.spots) // 2]
    offcut.work("stretch", "medium", [trial.strokes if i == middle else 0 for i in range(sites)])
    kink = -float(offcut.work_done_rad()[middle])
    at = float(trial.job.part.sites.position_mm[middle]) - 0.5 * (trial.length_mm - trial.chord_mm)
    share = min(at, trial.chord_mm - at) / trial.chord_mm
    rise, gauge = offcut.rise(trial.chord_mm, "stretch", core.GAUGES["steel rule"])
    assert kink > 0.0
    assert abs(rise - 0.5 * share * trial.chord_mm * kink) < 1.5  # rule's step and the stock's own bow
    opposite, _ = offcut.rise(trial.chord_mm, "shrink", core.GAUGES["steel rule"])
    assert abs(rise + opposite) <= 2.0 * gauge.step_mm
    leaf = core.GAUGES["feeler leaves"]
    _, taken = offcut.rise(1.0, "stretch", leaf)
    assert taken.name == leaf.name


def test_the_rim_of_a_demo_dish_is_read_by_itself() -> None:
    """Diameters and heights as simulated, at every angle asked for, with the gauge in hand; one entry each,
    and what was typed before stays."""
    with core.Shop(core.MemoryFolder()) as shop:
        session = Session(shop, lambda: datetime(2030, 5, 17, tzinfo=UTC))
        session.open(shop.new_part(demo_jobs()["fountain-dish"]))
        session.log(core.pass_done("shrink", [6] * len(session.job.part.sites)))
        made = demo.bar_of(shop.open(session.part_id))
        radius, high = made.points_mm()[-1] - made.points_mm()[0]
        for kind, field, true in (
            (RimPresenter, "diameters_mm", 2.0 * radius),
            (RimHeightPresenter, "heights_mm", high),
        ):
            rim = kind(session)
            assert rim.view().answered
            typed = round(true) + 1.5
            rim.typed(f"{typed}\n")
            assert rim.press("right").answered
            view = rim.read_by_itself(rim_of)
            assert not view.answered and view.complaint == "" and view.progress == "4 of 4 read"
            (entry,) = [e for e in session.live if field in e]
            assert entry["at_deg"] == [0.0, 45.0, 90.0, 135.0] and entry[field][0] == typed
            # six standard deviations of a rule, and lobes
            assert all(abs(mm - true) < 6.0 for mm in entry[field][1:])
        assert core.refit(session.job, session.events).verdict == "not measured"
