"""The simulated dish that goes out of round, and is read and rounded as an operator would."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import core
from core.simulate import Truth
from tests.made_up import bowl

N = 7
PASS = [0, 1, 2, 3, 4, 5, 6]
OVAL = Truth(sheet_uneven=(0.1 + 0.0j, 0j), gives_way=4.0)


def dish(truth: Truth, **changes):
    return core.simulated_part(core.job(bowl(**changes)), 1, truth=truth)


def rim_rad(job: core.Job) -> float:
    return float(job.part.blank.meridian.slope_rad(job.part.length_mm))


def test_even_strokes_leave_it_round():
    made = dish(Truth())
    made.work("shrink", "medium", PASS)
    assert made.widest_gap_mm(at_deg=[0.0]) == made.widest_gap_mm(at_deg=[77.0])
    assert not np.any(made.lobes.diameters_mm(np.radians([0.0, 45.0, 90.0, 135.0])))


def test_a_rim_gives_way_where_more_is_shrunk():
    """A tenth more at 0 and 180 degrees: four times that of radius times strain, in the mean over the rings
    by how far the mode goes there."""
    job = core.job(bowl())
    made = dish(OVAL)
    made.work("shrink", "medium", [3] * N)
    middle = (np.arange(N) + 0.5) / N * rim_rad(job)
    mode = (2 + np.cos(middle)) * np.tan(middle / 2) ** 2
    strain = np.average(made.work_done(), weights=mode)
    high = 4.0 * job.part.rim_radius_mm * 0.1 * strain
    assert made.lobes.high_mm[0] == pytest.approx(-high, rel=5e-3) and made.lobes.high_mm[1] == 0.0
    made.work("stretch", "medium", [3] * N)
    assert abs(made.lobes.high_mm[0]) < 1e-9


def test_diameters_and_gaps_see_it():
    """An oval is 4 times its radial amplitude from the longest to the shortest diameter; away from the axis
    it is n sin(phi)/(n + cos(phi)) of what it is outward (Rayleigh's mode of the sphere, from memory)."""
    job = core.job(bowl())
    made = dish(OVAL, template="layout line")
    made.work("shrink", "medium", [3 * m for m in PASS])
    high, phi = abs(made.lobes.high_mm[0]), rim_rad(job)
    assert high > 1.0
    longest, shortest = made.diameters([90.0, 0.0], core.GAUGES["dial"])
    assert longest - shortest == pytest.approx(4 * high * 2 * np.sin(phi) / (2 + np.cos(phi)), abs=0.15)
    low, across, far = (np.array(made.gaps(gauge=core.GAUGES["dial"], at_deg=a)) for a in (0, 90, 180))
    shown = across - low
    assert np.ptp(shown) > high and np.abs(far - low).max() < 0.15
    assert made.widest_gap_mm(at_deg=[0.0]) != pytest.approx(made.widest_gap_mm(at_deg=[90.0]), abs=0.1)
    assert made.widest_gap_mm() >= made.widest_gap_mm(at_deg=[0.0, 90.0]) - 1e-9


def test_lobes_are_drawn_apart():
    """The metal and its even part are the same with and without."""
    job = core.job(bowl())
    drawn = core.simulated_part(job, 3).truth
    assert abs(drawn.sheet_uneven[0]) > 0.0 and drawn.hand_uneven > 0.0
    even, lobed = (
        core.simulated_part(job, 3, truth)
        for truth in (replace(drawn, sheet_uneven=(0j, 0j), hand_uneven=0.0), drawn)
    )
    for made in (even, lobed):
        made.work("shrink", "medium", PASS)
        made.gaps(at_deg=30.0)
        made.work("shrink", "medium", PASS)
    np.testing.assert_array_equal(even.points_mm(), lobed.points_mm())
    np.testing.assert_array_equal(even.true_deviation_mm(), lobed.true_deviation_mm())
    assert not np.any(even.lobes.high_mm) and np.all(np.abs(lobed.lobes.high_mm) > 0.0)


def test_a_step_takes_lobes_off_and_does_half_of_a_pass_to_the_rim():
    made = dish(OVAL)
    made.work("shrink", "medium", [3 * m for m in PASS])
    before, done = abs(made.lobes.high_mm[0]), made.work_done()
    one = made.first_stroke("shrink", "light")[-1]
    made.strike_arcs("shrink", "light", 2, 90.0, 2)
    assert made.work_done()[-1] - done[-1] == pytest.approx(0.5 * 2 * one)
    np.testing.assert_array_equal(made.work_done()[:-1], done[:-1])
    assert 0.2 < before - abs(made.lobes.high_mm[0]) < before


def test_a_log_with_a_step_is_answered():
    log = [core.pass_done("shrink", [3 * m for m in PASS]), core.rounded("shrink", 2, "90 deg", 3)]
    job = core.job(bowl())
    one, other = (core.answering_part(job, log, 5) for _ in range(2))
    before = core.answering_part(job, log[:1], 5)
    np.testing.assert_array_equal(one.lobes.high_mm, other.lobes.high_mm)
    assert np.any(one.lobes.high_mm != before.lobes.high_mm)


@pytest.mark.slow
def test_the_advice_brings_a_lobed_dish_to_its_template():
    """A sheet that is uneven by 4 % goes millimetres oval; passes and steps as advised, read on five
    meridians."""
    job = core.job(bowl())
    made, log, steps = dish(replace(OVAL, sheet_uneven=(0.04 + 0j, 0j))), [], 0
    for _ in range(15):
        advice = core.refit(job, log)
        step = advice.lobing.step
        if step is not None:  # a pass may go with it before the gaps are read
            steps += 1
            made.strike_arcs(step.action, step.bite, step.lobes, step.at_deg, step.strokes)
            log.append(core.rounded(step.action, step.lobes, step.at_deg, step.strokes, step.bite))
            advice = core.refit(job, log)
        if advice.next_pass is not None:
            strokes = advice.next_pass.strokes.tolist()
            made.work(advice.next_pass.action, advice.next_pass.bite, strokes)
            log.append(core.pass_done(advice.next_pass.action, strokes, bite=advice.next_pass.bite))
        elif step is None:
            break
        for at in (0.0, 45.0, 90.0, 135.0, 180.0):
            gaps, gauges = made.gaps_by_any_gauge(at_deg=at)
            log.append(core.gaps_read(gaps, gauges if any(gauges) else None, at_deg=at))
    assert advice.verdict == "within" and steps > 0 and not advice.suspects
    assert made.widest_gap_mm() <= job.tolerance_mm + 0.1


def test_an_oval_lifts_the_rim_as_lord_rayleigh_says():
    """Of a cap of R 300 mm, 60 mm deep: up by -(n cos phi + 1)/(n + cos phi) of what goes outward,
    as the core reckons by vanishing strains; three lobes by nothing, straight across."""
    made, part = core.simulated_part(core.job(bowl()), 3), core.job(bowl()).part
    bare = np.array(made.heights([0.0, 45.0, 90.0], core.GAUGES["dial"]))
    made.lobes.high_mm = np.array([2.0 + 0j, 1.0 + 0j])
    lifted = np.array(made.heights([0.0, 45.0, 90.0], core.GAUGES["dial"])) - bare
    assert lifted == pytest.approx(2.0 * part.rim_axial[0] * np.array([1.0, 0.0, -1.0]), abs=0.1)
