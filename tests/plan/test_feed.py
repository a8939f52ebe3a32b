"""Feed within what the machine, or the hand, does: reckoned by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.plan.feed import HOLD_S, Fed, fed
from tests.made_up import rib


def run(strokes: list[int], **machine: Any) -> Fed:
    """12 stations of 40 mm, a patch of 20 mm, 120 strokes a minute."""
    job = core.job(rib(line={"radius": "1500 mm", "length": "480 mm"}, machine=machine))
    return fed(job.part.sites, job.tool, np.array(strokes), job.machine)


def test_without_limits_nothing_is_changed() -> None:
    ((zone,), rate) = run([6] * 12).zones, run([6] * 12).strokes_per_minute
    assert rate == 120.0 and (zone.goes, zone.standing) == (1, False)
    assert zone.feed_mm_per_s == pytest.approx(40 / 6 * 120 / 60)


def test_too_fast_lowers_the_rate_of_the_whole_pass() -> None:
    """4 strokes on 40 mm at 120 a minute: 20 mm/s; 12 mm/s want 72 a minute. The other zone follows."""
    found = run([4] * 6 + [8] * 6, feeds=["0 mm/s", "12 mm/s"])
    assert found.strokes_per_minute == 72.0
    assert [zone.feed_mm_per_s for zone in found.zones] == pytest.approx([12.0, 6.0])
    assert [zone.seconds for zone in found.zones] == pytest.approx([20.0, 40.0])


def test_too_slow_is_gone_over_several_times() -> None:
    """20 strokes on 40 mm: 4 mm/s; three goes at 12 mm/s in the same time, in place of 10 mm/s at least."""
    (zone,) = run([20] * 12, feeds=["10 mm/s", "40 mm/s"]).zones
    assert zone.goes == 3 and zone.feed_mm_per_s == pytest.approx(12.0)
    assert zone.seconds == pytest.approx(240 / 2)


def test_single_strokes_are_made_standing() -> None:
    """One stroke on 40 mm and a patch of 20 mm: no feed, and no reason to slow the pass down."""
    found = run([1] * 6 + [8] * 6, feeds=["1 mm/s", "12 mm/s"])
    single, many = found.zones
    assert found.strokes_per_minute == 120.0 and single.standing and not many.standing
    assert single.seconds == pytest.approx(6 / 2 + 5 * HOLD_S)


def test_what_no_rate_brings_within_is_made_standing() -> None:
    found = run([4] * 12, feeds=["1 mm/s", "5 mm/s"], stroke_rates=[60, 400])
    assert found.strokes_per_minute == 60.0 and found.zones[0].standing
    (slow,) = run([2] * 12, feeds=["100 mm/s", "300 mm/s"], stroke_rates=[60, 100]).zones
    assert slow.standing and slow.goes == 1


def test_strokes_made_standing_are_shared_out_over_the_length_at_a_mark() -> None:
    """Zones of 40 mm and a patch of 20 mm: two spots, each with half of the strokes. Struck at one spot all
    of them would strain it by twice what the limits are held against."""
    (four,) = run([4] * 12, feeds=["1 mm/s", "5 mm/s"], stroke_rates=[60, 400]).zones
    single, _ = run([1] * 6 + [8] * 6, feeds=["1 mm/s", "12 mm/s"]).zones
    assert (four.standing, four.spots) == (True, 2) and (single.standing, single.spots) == (True, 1)
    averaged = four.strokes * 20.0 / 40.0
    assert four.strokes / four.spots == averaged
    assert four.seconds == pytest.approx(12 * 4 + (12 * 2 - 1) * HOLD_S)


@pytest.mark.parametrize("seed", range(20))
def test_every_zone_is_within_or_standing(seed: int) -> None:
    rng = np.random.default_rng(seed)
    low, high = np.sort(rng.uniform(0.5, 60.0, 2))
    strokes = [int(m) for m in rng.integers(0, 12, 12)]
    found = run(strokes, feeds=[f"{low} mm/s", f"{high} mm/s"], stroke_rates=[60, 400])
    assert 60.0 <= found.strokes_per_minute <= 400.0
    for zone in found.zones:
        assert zone.standing or low * (1 - 1e-6) <= zone.feed_mm_per_s <= high * (1 + 1e-6)
        assert 1 <= zone.goes <= zone.strokes
