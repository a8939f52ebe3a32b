"""What the refit makes of a log: missing and doubtful readings, gauges, templates, seating, hardening."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.estimate.fit import _settle
from core.estimate.memory import Memory
from core.estimate.response import ResponseModel
from core.readings.rounds import steps_of
from core.readings.seating import rigid_free
from core.simulate import Truth
from tests.estimate.logs import fitted, worked
from tests.made_up import rib

N = 30
S = 20.0 + 40.0 * np.arange(N)
COARSE = {"name": "a wild guess", "step": "0.01 mm", "repeatability": "49 mm", "largest": "500 mm"}


@pytest.fixture(scope="module")
def job() -> core.Job:
    return core.job(rib())


def finishing(job: core.Job) -> dict[str, Any]:
    """A pass that by the first guess does all the work."""
    one = job.part.work_per_strain() * job.tool.strain("medium")
    return core.pass_done("shrink", np.round(job.part.target / one).astype(int).tolist())


def same(one: core.Advice, other: core.Advice, share: float = 1e-6) -> bool:
    """Remaining work alike to a share of its own uncertainty."""
    off = np.abs(one.remaining_work - other.remaining_work)
    return bool(np.all(off <= share * other.remaining_work_sd))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_answer_does_not_depend_on_the_start(job: core.Job, seed: int) -> None:
    """From assumed responses two standard deviations off, the iteration comes to the same answer."""
    steps = steps_of(job, worked(job, 3))
    model = ResponseModel(job)
    usual = _settle(job, steps, model, Memory(model.mean.copy()))
    start = model.mean + 2.0 * model.sd * np.random.default_rng(seed).choice([-1.0, 1.0], model.size)
    other = _settle(job, steps, model, Memory(start))
    assert usual.converged and other.converged
    sd = np.sqrt(np.diag(usual.belief.cov))
    assert np.max(np.abs(other.belief.mean - usual.belief.mean) / sd) < 0.02


def test_fewer_readings_say_less_and_never_more(job: core.Job) -> None:
    whole, thinned = (fitted(job, worked(job, 2, every=every)) for every in (1, 3))
    n = len(job.part.sites)
    free = rigid_free(job.part.linearise(np.zeros(n)).seating) @ job.part.linearise(np.zeros(n)).influence
    spread = [np.sqrt(np.sum((free @ f.belief.cov[:n, :n]) * free, axis=1)) for f in (whole, thinned)]
    assert np.all(spread[0] < spread[1])


def test_a_missing_reading_is_one_that_says_nothing(job: core.Job) -> None:
    """Left out, or read with a gauge that is off by 49 mm: the same answer."""
    *before, last = worked(job, 2)
    absent = [None if i % 4 == 1 else g for i, g in enumerate(last["gaps_mm"])]
    gauges = [COARSE if i % 4 == 1 else g for i, g in enumerate(last.get("gauge", [None] * N))]
    without = core.refit(job, [*before, core.gaps_read(absent, last.get("gauge"))])
    vague = core.refit(job, [*before, core.gaps_read(last["gaps_mm"], gauges)])
    assert same(vague, without, 0.02)


def test_touching_is_a_gap_of_nothing(job: core.Job) -> None:
    gaps = [0.1] * N
    zero = core.refit(job, [finishing(job), core.gaps_read([0.0, *gaps[1:]])])
    touching = core.refit(job, [finishing(job), core.gaps_read(["touching", *gaps[1:]])])
    np.testing.assert_array_equal(zero.remaining_work, touching.remaining_work)


def test_a_finer_gauge_knows_more(job: core.Job) -> None:
    """The same numbers read by rule and by dial: the dial leaves the smaller uncertainty everywhere."""
    gaps = [0.5] * N
    by = {g: core.refit(job, [finishing(job), core.gaps_read(gaps, g)]) for g in ("steel rule", "dial")}
    assert np.all(by["dial"].deviation_sd_mm < 0.5 * by["steel rule"].deviation_sd_mm)


def test_beyond_the_gauge_is_more_than_nothing_and_less_than_a_number(job: core.Job) -> None:
    """A straight bar's ends are known to stand at least 5 mm off, no more; the middle is not touched."""
    *before, _ = worked(job, 1, share=0.3)
    bar = core.answering_part(job, before, 3)
    gaps = bar.gaps()
    assert gaps.count("beyond") > 5
    blank = [None if g == "beyond" else g for g in gaps]
    unknown = core.refit(job, [*before, core.gaps_read(blank)])
    censored = core.refit(job, [*before, core.gaps_read(gaps)])
    exact, gauges = bar.gaps_by_any_gauge(reseat=False)
    known = core.refit(job, [*before, core.gaps_read(exact, gauges)])
    spread = [float(a.deviation_sd_mm.sum()) for a in (known, censored, unknown)]
    assert spread[0] < 0.9 * spread[1] and spread[1] <= spread[2] * (1 + 1e-9)


def test_inside_and_outside_agree_on_the_same_bar(job: core.Job) -> None:
    """One bar read in the hollow and on its back: the same shape, within the bands of both."""
    events = worked(job, 3)
    bar = core.answering_part(job, events, 3)
    found = []
    for name in ("inside", "outside"):
        gaps, gauges = bar.gaps_by_any_gauge(core.TEMPLATES[name])
        log = [*events[:-1], core.gaps_read(gaps, gauges if any(gauges) else None, core.TEMPLATES[name])]
        found.append(core.refit(job, log))
    one, other = found
    apart = np.abs(one.deviation_mm - other.deviation_mm)
    apart = np.abs(apart - apart.mean())
    assert np.mean(apart <= 3 * np.hypot(one.deviation_sd_mm, other.deviation_sd_mm) + 0.05) > 0.9
    assert np.corrcoef(one.remaining_work, other.remaining_work)[0, 1] > 0.9


def slip_of_the_finger(job: core.Job, confirmed: tuple[int, ...] = ()) -> tuple[list[dict], float]:
    """A finished bar that reads 0.35 all along (template 0.35 off), with 3.5 noted at station 12."""
    events = [finishing(job)]
    gaps = [0.35 + 0.05 * (i % 2) for i in range(N)]
    gaps[11] = 3.5
    return [*events, core.gaps_read(gaps, confirmed=confirmed)], 0.40


def test_a_slip_of_the_finger_is_named_and_set_aside(job: core.Job) -> None:
    events, right = slip_of_the_finger(job)
    advice = core.refit(job, events)
    (suspect,) = advice.suspects
    assert suspect.station == 11 and suspect.read_mm == 3.5 and abs(suspect.score) > 4
    assert suspect.low_mm < right < suspect.high_mm
    assert suspect.low_mm < suspect.expected_mm < suspect.high_mm < 1.0
    assert suspect.expected_mm == pytest.approx(right, abs=0.1)
    left_out = list(events[-1]["gaps_mm"])
    left_out[11] = None
    without = core.refit(job, [*events[:-1], core.gaps_read(left_out)])
    assert same(advice, without, 0.05)
    sentence = next(r for r in advice.reasons if "12" in r)
    assert "3.50 mm" in sentence and f"{suspect.expected_mm:.2f} ± " in sentence


def test_a_confirmed_reading_is_used(job: core.Job) -> None:
    events, _ = slip_of_the_finger(job, confirmed=(11,))
    advice, doubted = core.refit(job, events), core.refit(job, slip_of_the_finger(job)[0])
    assert 11 not in [s.station for s in advice.suspects]
    assert advice.deviation_mm[11] > doubted.deviation_mm[11] + 0.5
    assert advice.widest_gap_mm > doubted.widest_gap_mm + 0.3


def test_sound_readings_are_not_doubted(job: core.Job) -> None:
    for seed in range(6):
        assert core.refit(job, worked(job, 2, seed)).suspects == ()


def test_seating_the_template_again_is_advised(job: core.Job) -> None:
    """A part true to its template, which touches at the near end and stands off 1.2 mm at the far one:
    the template has to go 0.6 mm outward at mid-length and lift its far end by a thousandth."""
    gaps = (0.001 * (S - S[0])).round(3).tolist()
    advice = core.refit(job, [finishing(job), core.gaps_read(gaps)])
    assert advice.reseat is not None
    assert advice.reseat.tilt_rad == pytest.approx(0.001, rel=0.1)
    assert advice.reseat.shift_mm == pytest.approx(0.6, abs=0.1)
    assert advice.reseat.gap_then_mm <= job.tolerance_mm
    again = np.array(gaps) - advice.reseat.shift_mm - advice.reseat.tilt_rad * (S - 600.0)
    assert np.ptp(again) <= job.tolerance_mm
    assert any("seated again" in r for r in advice.reasons)


def test_seating_again_is_not_advised_where_it_does_not_help(job: core.Job) -> None:
    """A part 1.5 mm too open at both ends, its template askew: the best seating is outside, too."""
    open_ends = 1.5 * ((S - 600.0) / 580.0) ** 2
    gaps = open_ends + 0.001 * (S - S[0])
    advice = core.refit(job, [finishing(job), core.gaps_read((gaps - gaps.min()).round(2).tolist())])
    assert advice.widest_gap_mm > job.tolerance_mm and advice.verdict == "outside"
    assert advice.reseat is None


S_LINE = {"segments": [["600 mm", "1500 mm"], ["600 mm", "-900 mm"]]}


@pytest.mark.parametrize("line", [None, S_LINE])
@pytest.mark.parametrize("name", ["inside", "outside", "layout line"])
def test_seating_again_gives_the_gap_that_the_verdict_goes_by(name: str, line: Any) -> None:
    """A wavy part whose template is askew and 1.5 mm off its mark: moved as advised, the gaps are as told."""
    job = core.job(rib(template=name, gauge="dial", **({"line": line} if line else {})))
    sign, columns = job.template.sign, job.part.linearise(np.zeros(N)).seating
    held = 0.15 * np.sin(S / 150.0) + sign * columns @ [0.0, 0.0012, 1.5]
    gaps = (held - (held.min() if job.template.rigid else 0.0)).round(2).tolist()
    one = job.part.work_per_strain() * job.tool.strain("medium")
    passes = [
        core.pass_done(action, np.round(np.maximum(way * job.part.target, 0.0) / one).astype(int).tolist())
        for action, way in (("shrink", 1.0), ("stretch", -1.0))
    ]
    advice = core.refit(job, [*passes, core.gaps_read(gaps)])
    assert advice.reseat is not None
    assert advice.reseat.gap_then_mm == advice.widest_gap_mm <= job.tolerance_mm
    motion = [advice.reseat.shift_mm, advice.reseat.tilt_rad, advice.reseat.slide_mm]
    again = np.array(gaps) - sign * columns @ motion
    if job.template.rigid:
        again = again - again.min()
    assert np.abs(again).max() == pytest.approx(advice.widest_gap_mm, abs=0.06)


def test_a_template_at_its_best_is_left_alone(job: core.Job) -> None:
    gaps = [0.1 * (i % 2) for i in range(N)]
    assert core.refit(job, [finishing(job), core.gaps_read(gaps)]).reseat is None


def test_an_anneal_gives_the_response_back() -> None:
    """Hardened metal asks for more strokes for the same work; softened, for as few as fresh metal."""
    hard = {"hardening": 8.0, "hardening_sd": 0.1}
    job = core.job(rib(response=hard, tolerance="1 mm"))
    *events, last = worked(job, 2, share=0.6)
    stiff, soft = core.refit(job, [*events, last]), core.refit(job, [*events, last, core.annealed()])
    np.testing.assert_allclose(stiff.remaining_work, soft.remaining_work)
    model = fitted(job, [*events, last])
    assert model.strain.max() > 0 and fitted(job, [*events, last, core.annealed()]).strain.max() == 0.0

    def strokes(advice: core.Advice) -> float:
        return sum(p.strokes.sum() * job.tool.bites[p.bite] for p in advice.remaining)

    assert strokes(soft) < 0.95 * strokes(stiff)


def test_response_is_that_of_the_metal_as_it_is_now() -> None:
    """Hardened by its strokes the metal gives less a stroke, annealed as much as at first: by hand a share of
    exp(-hardening * strain), hardening being known."""
    job = core.job(rib(response={"hardening": 8.0, "hardening_sd": 0.0}))
    events = worked(job, 2, share=0.6)
    hard, soft = core.refit(job, events), core.refit(job, [*events, core.annealed()])
    strain = fitted(job, events).strain
    for pair, response in hard.response.items():
        share = response.mean / soft.response[pair].mean
        assert share == pytest.approx(np.average(np.exp(-8.0 * strain)), rel=0.01)
        assert share < 0.95
        assert response.ratio == pytest.approx(soft.response[pair].ratio, rel=0.01)


def test_the_strain_of_the_whole_job_outlives_an_anneal(job: core.Job) -> None:
    events = worked(job, 2)
    before, after = core.refit(job, events), core.refit(job, [*events, core.annealed()])
    np.testing.assert_array_equal(before.edge_strain, after.edge_strain)


def test_response_is_learned_with_the_uncertainty_it_deserves(job: core.Job) -> None:
    """Metal that gives 1.4 of the first guess: found within its band, which is far narrower than before."""
    truth = Truth(common=1.4)
    bar = core.simulated_bar(job, 5, truth)
    one = job.part.work_per_strain() * job.tool.strain("medium")
    strokes = np.round(0.3 * job.part.target / one).astype(int).tolist()
    bar.work("shrink", "medium", strokes)
    gaps, gauges = bar.gaps_by_any_gauge()
    advice = core.refit(job, [core.pass_done("shrink", strokes), core.gaps_read(gaps, gauges)])
    found = advice.response["shrink", "medium"]
    fresh = core.refit(job, []).response["shrink", "medium"]
    true = float(np.mean(bar.first_stroke_rad("shrink", "medium")))
    assert found.known and not fresh.known
    assert abs(found.mean - true) < 2.5 * found.sd
    assert found.sd / found.mean < 0.5 * fresh.sd / fresh.mean
    assert found.ratio > 1.1


def test_gaps_that_no_metal_could_have_left_are_refused() -> None:
    """Shrinking that opened the bar: the side of the template or the action was noted wrongly."""
    job = core.job(rib(template="layout line", gauge="dial"))
    strokes = [20] * N
    wrong = (0.5 * (S - 600.0) ** 2 / 700.0).clip(0, 24).tolist()
    with pytest.raises(core.InputError) as caught:
        core.refit(job, [core.pass_done("shrink", strokes), core.gaps_read(wrong, "steel rule")])
    assert caught.value.field == "events"


def test_no_spread_at_all_is_a_prior_too() -> None:
    """A response given as known: the gaps then only say how the strokes scattered."""
    sure = dict.fromkeys(
        (
            "common_sd",
            "action_sd",
            "bite_sd",
            "bite_exponent_sd",
            "uneven_sd",
            "exponent_sd",
            "hardening_sd",
            "neighbours_sd",
        ),
        0.0,
    )
    job = core.job(rib(response=sure))
    advice = core.refit(job, worked(job, 2))
    assert np.all(np.isfinite(advice.remaining_work))
    assert advice.response["shrink", "medium"].ratio == pytest.approx(1.0)


def test_an_answer_is_told_of_as_many_strokes_as_were_made() -> None:
    """Ten strokes at every spot, read exactly: their work is known to a few per cent, that of one is not, for
    how it adds up is open to 0.09 ln 10 = 21 %."""
    job = core.job(rib())
    n = len(job.part.sites)
    done = core.pass_done("shrink", [10] * n, "medium")
    bar = core.simulated_part(job, 3)
    bar.work("shrink", "medium", [10] * n)
    told = core.refit(job, [done, core.gaps_read(bar.gaps())]).response["shrink", "medium"]
    assert told.strokes == 10.0
    assert told.ratio_band / told.ratio < 0.15
    fresh = core.refit(job, []).response["shrink", "medium"]
    assert (fresh.strokes, fresh.known) == (1.0, False)
    assert fresh.ratio_band > 0.5
