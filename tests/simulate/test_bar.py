"""The simulated bar, one effect at a time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.errors import InputError
from core.geometry.segments import from_arc, from_segments
from core.jobtypes import Tool
from core.readings.gauges import GAUGES, Gauge
from core.readings.templates import INSIDE, LAYOUT_LINE, OUTSIDE
from core.simulate import SimulatedBar, Struck, Truth, Wander, draw_truth

BITES = {"light": 0.4, "medium": 1.0, "heavy": 1.8}
ONE = 0.59604 * 0.004
FINE = Gauge("fine", 1e-6, 0.0, 1000.0)


def strokes_at(b: SimulatedBar, **counts: int) -> list[int]:
    """Counts by station, ``s5=3`` for three strokes at station 5; none elsewhere."""
    return [counts.get(f"s{i}", 0) for i in range(len(b.stock.stations_mm))]


def kink(b: SimulatedBar) -> float:
    """Sum of the kinks put in so far, rad."""
    return float(b.work_done_rad().sum())


def test_one_stroke_does_the_first_guess_when_nothing_is_hidden(bar) -> None:
    """kink = 0.59604 rad per unit strain (finite elements, angle 40x40x1.5, summary_mid_depth.csv)."""
    b = bar()
    b.work("shrink", "medium", strokes_at(b, s12=1))
    assert kink(b) == pytest.approx(ONE, rel=1e-12)
    b.work("stretch", "heavy", strokes_at(b, s12=1))
    assert kink(b) == pytest.approx(ONE - 1.8 * ONE, rel=1e-12)


def test_shape_of_a_worked_bar_is_the_triangle_of_its_kink(bar) -> None:
    """A kink theta at distance a from one end of a template of length L, here the 920 mm from the first
    station to the last, stands theta a (L - a)/L off the chord (triangle geometry); spread over w it is
    theta w/8 or a little less lower at its top."""
    b = bar()
    b.work("shrink", "medium", strokes_at(b, s8=10))
    a = 340.0 - 20.0
    top = 10 * ONE * a * (920.0 - a) / 920.0
    assert b.widest_gap_mm(OUTSIDE) == pytest.approx(top - 10 * ONE * 40.0 / 8.0, abs=10 * ONE * 2.0)


def test_shrinking_closes_the_bar_towards_the_worked_edge(bar) -> None:
    """Sign: curvature > 0 has its centre on the left, outward is right; a bar that is bent more than a
    straight target has its middle outward of a line through its ends."""
    b = bar()
    b.work("shrink", "medium", strokes_at(b, s11=5, s12=5))
    deviation = b.true_deviation_mm(LAYOUT_LINE)
    assert deviation[11] > 0 > deviation[0]


def test_strokes_in_proportion_reach_the_target(bar) -> None:
    """Enough fine strokes for the wanted heading of each zone leave the bar on its circle."""
    line = from_arc(1500.0, length_mm=1200.0)
    fine = Tool(20.0, 15.0, 2e-5, {"medium": 1.0})
    b = bar(line=line, struck={"shrink": Struck(fine, 0.59604)})
    each = 40.0 / 1500.0 / (0.59604 * 2e-5)
    b.work("shrink", "medium", [round(each)] * 30)
    assert b.widest_gap_mm(INSIDE) < 0.1
    assert b.widest_gap_mm(OUTSIDE) < 0.1


@pytest.mark.parametrize("p", [0.7, 0.85, 1.0])
def test_first_stroke_of_a_pass_does_most(bar, p: float) -> None:
    """m strokes do m**p; the same strokes one a pass do m."""
    at_once, singly = bar(Truth(exponent=p)), bar(Truth(exponent=p))
    at_once.work("shrink", "medium", strokes_at(at_once, s10=8))
    for _ in range(8):
        singly.work("shrink", "medium", strokes_at(singly, s10=1))
    assert kink(at_once) == pytest.approx(8**p * ONE, rel=1e-12)
    assert kink(singly) == pytest.approx(8 * ONE, rel=1e-12)


def test_hardening_halves_the_work_at_its_strain_and_an_anneal_brings_it_back(bar) -> None:
    b = bar(Truth(hardening_strain=0.05))
    before = b.first_stroke_rad("shrink", "medium")[10]
    strain_per_stroke = ONE * 28.1 / 40.0
    b.work("shrink", "medium", strokes_at(b, s10=round(0.05 / strain_per_stroke)))
    assert b.first_stroke_rad("shrink", "medium")[10] == pytest.approx(0.5 * before, rel=0.02)
    assert b.first_stroke_rad("shrink", "medium")[9] == before
    b.anneal()
    assert b.first_stroke_rad("shrink", "medium")[10] == before


def test_worked_neighbours_take_up_to_a_quarter_away(bar) -> None:
    alone, beside, between = (bar(Truth(neighbour_loss=0.25)) for _ in range(3))
    alone.work("shrink", "medium", strokes_at(alone, s10=1))
    beside.work("shrink", "medium", strokes_at(beside, s10=1, s11=1))
    between.work("shrink", "medium", strokes_at(between, s9=1, s10=1, s11=1))
    done = [b.work_done_rad()[10] / ONE for b in (alone, beside, between)]
    assert done == pytest.approx([1.0, 0.875, 0.75])


def test_one_stroke_scatters_as_stated(bar) -> None:
    """sd of the log of single strokes 0.12; of the mean of 16, a quarter of it (statistics)."""
    b = bar(Truth(scatter=0.12), pitch_mm=2.0)
    b.work("shrink", "medium", [1] * 480)
    assert np.std(np.log(b.work_done_rad() / ONE)) == pytest.approx(0.12, rel=0.1)
    assert b.work_done_rad().mean() == pytest.approx(ONE, rel=0.02)
    c = bar(Truth(scatter=0.12), pitch_mm=2.0)
    c.work("shrink", "medium", [16] * 480)
    assert np.std(c.work_done_rad() / (16 * ONE)) == pytest.approx(0.03, rel=0.12)


def test_same_seed_same_answers_and_another_seed_others(bar) -> None:
    truth = draw_truth(np.random.default_rng(1), BITES)

    def played(seed: int) -> list:
        b = bar(truth, seed, line=from_arc(2000.0, length_mm=960.0))
        b.work("shrink", "heavy", [4] * 24)
        return b.gaps()

    assert played(5) == played(5)
    assert played(5) != played(6)


def test_readings_are_whole_steps_and_the_template_touches_somewhere(bar) -> None:
    """The rigid template rests on the bar, so that true gaps start at zero; leaves read in 0.05 mm."""
    b = bar(draw_truth(np.random.default_rng(2), BITES), line=from_arc(4000.0, length_mm=960.0))
    gaps = b.gaps(OUTSIDE)
    numbers = [g for g in gaps if isinstance(g, float)]
    assert "beyond" in gaps and numbers
    assert all(0.025 <= g <= 5.05 and abs(g / 0.05 - round(g / 0.05)) < 1e-6 for g in numbers)
    every = bar(replace(b.truth, template_error=Wander.none()), line=b.stock.line, pitch_mm=4.0)
    fine = every.gaps(OUTSIDE, FINE)
    least = min(0.0 if g == "touching" else g for g in fine if g is not None)
    assert 0.0 <= least < 0.6
    assert all(g == "touching" or g >= 0.0 for g in fine if g is not None)


def test_signed_readings_go_both_ways_and_use_no_words(bar) -> None:
    b = bar(draw_truth(np.random.default_rng(2), BITES), line=from_arc(4000.0, length_mm=960.0))
    gaps = b.gaps(LAYOUT_LINE, GAUGES["steel rule"])
    assert all(isinstance(g, float) for g in gaps)
    assert min(gaps) < -1.0 and max(gaps) > 1.0


def test_reading_again_as_the_template_lies_differs_only_by_repeatability(bar) -> None:
    """sd of differences of two readings: sqrt(2) times 0.02 mm and a step of 0.01 (dial)."""
    b = bar(draw_truth(np.random.default_rng(2), BITES), line=from_arc(6000.0, length_mm=960.0))
    first = b.gaps(LAYOUT_LINE, GAUGES["dial"])
    again = b.gaps(LAYOUT_LINE, GAUGES["dial"], reseat=False)
    moved = b.gaps(LAYOUT_LINE, GAUGES["dial"])
    assert 0.0 < np.std(np.subtract(first, again)) < 0.06
    assert np.max(np.abs(np.subtract(first, moved))) > 0.2


def test_where_the_normal_passes_the_bars_end_nothing_is_read(bar) -> None:
    """A straight bar of 1200 mm on R 1500: the normal at s from mid-length meets it at R tan(s/R),
    beyond the bar's end from s = R atan(600/R) = 571 mm, so at the outermost stations only."""
    b = bar(line=from_arc(1500.0, length_mm=1200.0))
    gaps = b.gaps(INSIDE, GAUGES["steel rule"])
    assert [i for i, g in enumerate(gaps) if g is None] == [0, 29]


def test_stock_is_bowed_as_drawn(bar) -> None:
    """A bow of h over length L is a curvature of 8 h / L^2 (sagitta); the stations cover 920 of 960 mm."""
    truth = Truth(stock_curvature=lambda s: np.full(len(s), 8.0 * 1.0 / 960.0**2))  # type: ignore[arg-type]
    b = bar(truth)
    assert b.widest_gap_mm(OUTSIDE) == pytest.approx((920.0 / 960.0) ** 2, rel=1e-3)
    assert b.stock_kinks_rad().sum() == pytest.approx(8.0 / 960.0, rel=1e-6)


def test_counts_that_do_not_fit_are_refused(bar) -> None:
    b = bar()
    for bad in ([1, 2], [0] * 23 + [-1], [0] * 23 + [1.5]):
        with pytest.raises(InputError, match="strokes"):
            b.work("shrink", "medium", bad)
    assert not b.work_done_rad().any()


def test_end_for_end_the_bar_is_the_same(bar) -> None:
    """Symmetry: mirrored target and strokes give the same widest gap."""
    there = from_segments([(400.0, 1500.0), (200.0, None), (360.0, -900.0)])
    back = from_segments([(360.0, -900.0), (200.0, None), (400.0, 1500.0)])
    m = np.arange(24) % 5
    one, two = bar(line=there), bar(line=back)
    one.work("shrink", "medium", m)
    two.work("shrink", "medium", m[::-1])
    for template in (INSIDE, OUTSIDE, LAYOUT_LINE):
        assert one.widest_gap_mm(template) == pytest.approx(two.widest_gap_mm(template), rel=1e-4)


def test_strokes_follow_one_another_along_their_zone(bar) -> None:
    """One stroke bends 40 mm, a flange width; many on a zone of 40 mm bend 80: outside, nothing turns."""
    single, many = bar(), bar(Truth(exponent=1.0))
    single.work("shrink", "heavy", strokes_at(single, s12=1))
    many.work("shrink", "light", strokes_at(many, s12=400))
    at = 500.0 + np.array([-45.0, -35.0, -25.0, -15.0, 15.0, 25.0, 35.0, 45.0])

    def turned(b: SimulatedBar) -> np.ndarray:
        before, after = b.points_mm(at - 1.0), b.points_mm(at + 1.0)
        return np.arctan2(*(after - before).T[::-1]) / kink(b)

    assert turned(single)[[2, 5]] == pytest.approx([0.0, 1.0], abs=1e-6)
    assert 0.02 < turned(many)[2] < 0.2 and 0.8 < turned(many)[5] < 0.98
    assert turned(many)[[0, 7]] == pytest.approx([0.0, 1.0], abs=1e-6)


def test_scatter_does_not_shift_the_mean(bar) -> None:
    """Mean of a log-normal with sd 0.6 and the drift -0.18 taken off: 1 (statistics); 40 x 480 strokes."""
    b = bar(Truth(scatter=0.6), pitch_mm=2.0)
    b.work("shrink", "medium", [40] * 480)
    assert b.work_done_rad().mean() == pytest.approx(40 * ONE, rel=0.015)


def test_the_second_gauge_reads_as_the_template_lies(bar) -> None:
    """Where the leaves end the rule goes on: rounds differ by the rule's own error, not by a new seat."""
    truth = Truth(seat_mm=8.0)
    b = bar(truth, line=from_arc(3000.0, length_mm=960.0))
    gaps, gauges = b.gaps_by_any_gauge()
    assert "beyond" not in gaps and set(gauges) == {None, "steel rule"}
    again, _ = b.gaps_by_any_gauge(reseat=False)
    numbers = np.array([[0.0 if g == "touching" else g for g in r] for r in (gaps, again)])
    assert np.abs(numbers[0] - numbers[1]).max() <= 2.0
    for gap, gauge in zip(gaps, gauges, strict=True):
        assert gauge is None or gap > 4.0
