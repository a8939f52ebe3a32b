"""Counter-work that was done: its event, what the refit makes of it, and a simulated bar that answers it.

The movement in the plane is held against beam theory and the finite elements of a stroke on one leg of an
equal angle, which laid over its diagonal is a stroke on the other leg.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.advice import BAND
from core.errors import InputError
from core.estimate.response import ASIDE, STRAIGHT, Stroking
from core.geometry import beam_movement
from core.joblog import checked_log
from core.readings.rounds import log_of
from core.simulate import Truth
from core.smoothing import smoothing_for
from shopapp.next_text import next_lines
from tests.estimate.logs import fitted, whole_round
from tests.made_up import SECTIONS, rib

N = 30
LINE = {"radius": "3000 mm", "length": "1200 mm"}
EQUAL = {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"}
JOB = core.job(rib(line=LINE, gauge="steel rule"))
PASS = {**core.pass_done("shrink", [10] * N), "id": "p"}
ROUND = core.gaps_read([round((20 + 40 * i - 600) ** 2 / 14000.0, 1) for i in range(N)])
DONE = {**core.counter_done("stretch", [1] * N), "id": "c"}


def section_job(name: str, **changes: Any) -> core.Job:
    return core.job(rib(section=SECTIONS[name], line=LINE, **changes))


def test_the_event_is_plain() -> None:
    assert core.counter_done("stretch", np.array([0, 2])) == {
        "event": "counter_done",
        "action": "stretch",
        "bite": "medium",
        "strokes": [0, 2],
    }


@pytest.mark.parametrize(
    ("change", "field", "says"),
    [
        ({"action": "bend"}, "action", "'shrink' or 'stretch'"),
        ({"strokes": None}, "strokes", "a list of whole numbers"),
        ({"strokes": [1.5] * N}, "strokes[0]", "a whole number from 0 up"),
        ({"strokes": [-1] * N}, "strokes[0]", "a whole number from 0 up"),
        ({"strokes": [1] * (N - 1)}, "strokes", "30 entries, one a station"),
        ({"strokes": [1001] * N}, "strokes[0]", "at most 1000"),
        ({"bite": "gentle"}, "bite", "light"),
        ({"bite": 3}, "bite", "the name of a bite"),
        ({"edge": "upright"}, "edge", "there is no such field"),
    ],
)
def test_what_cannot_have_been_done_is_refused(change: dict[str, Any], field: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        checked_log(JOB, [{**DONE, **change}])
    assert caught.value.field == f"events[0].{field}"
    assert says in str(caught.value)


@pytest.mark.parametrize("missing", ["action", "bite", "strokes"])
def test_every_field_is_needed(missing: str) -> None:
    with pytest.raises(InputError, match="needs it"):
        checked_log(JOB, [{key: value for key, value in DONE.items() if key != missing}])


@pytest.mark.parametrize("name", ["T", "flat bar", "channel, both"])
def test_a_part_without_another_edge_refuses_it(name: str) -> None:
    with pytest.raises(InputError) as caught:
        core.refit(section_job(name), [DONE])
    assert caught.value.field == "events[0].event"
    assert "this part has none that the tool takes" in str(caught.value)


def test_so_does_one_whose_other_flange_is_too_narrow_for_the_tool() -> None:
    narrow = {"shape": "angle", "worked": "40 mm", "other": "14 mm", "thickness": "1.5 mm"}
    job = core.job(rib(section=narrow, line=LINE))  # the patch is 15 mm deep
    with pytest.raises(InputError, match="none that the tool takes"):
        core.check_event(job, DONE)
    with pytest.raises(InputError, match="no other flange"):
        core.simulated_bar(job, 1).counter("stretch", "medium", [1] * N)


def test_it_is_withdrawn_and_corrected_like_anything_else() -> None:
    plain = core.refit(JOB, [PASS, ROUND])
    again = core.refit(JOB, [PASS, ROUND, DONE, core.withdrawn("c")])
    assert again.side_effects == plain.side_effects
    better = {**core.corrected("c", core.counter_done("stretch", [2] * N)), "id": "d"}
    one = core.refit(JOB, [PASS, ROUND, DONE, better])
    other = core.refit(JOB, [PASS, ROUND, core.counter_done("stretch", [2] * N)])
    assert one.side_effects == other.side_effects


def test_it_ends_a_round_and_a_bow_knows_what_was_done_before_it() -> None:
    singles = [core.gap_read(i, gap) for i, gap in enumerate(ROUND["gaps_mm"])]
    bow = core.bow_read(-2.0)
    steps, bows = log_of(JOB, [PASS, *singles, bow, DONE, *singles, bow])
    assert len(steps) == 4
    assert [(read.passes, read.counters) for read in bows] == [(1, 0), (1, 1)]


def test_old_logs_stay_readable() -> None:
    """A bow that was countered without an entry starts anew, as it always did."""
    old = core.refit(JOB, [PASS, ROUND, core.bow_read(-6.0), core.bow_read(-1.0, countered=True)])
    assert old.side_effects.bow_mm == pytest.approx(-1.0, abs=1e-3)


def test_until_it_is_read_the_bow_is_expected_and_the_gaps_are_not_known() -> None:
    before = core.refit(JOB, [PASS, ROUND, core.bow_read(-6.0)])
    after = core.refit(JOB, [PASS, ROUND, core.bow_read(-6.0), DONE])
    assert before.verdict != "not measured" and after.verdict == "not measured"
    assert np.all(after.remaining_work_sd > before.remaining_work_sd)
    answer = fitted(JOB, [PASS, ROUND])
    model, theta = answer.model, answer.belief.mean[N:]
    strain = model.strain_beyond(Stroking("stretch", "medium", np.ones(N), np.zeros(N)), theta)[0]
    edge = JOB.part.other_edge()
    formula = -float(edge.bow_mm @ strain)
    assert formula > 3.0
    assert after.side_effects.bow_mm - before.side_effects.bow_mm == pytest.approx(formula, rel=0.02)
    own = np.hypot(STRAIGHT[1], 0.2) * formula
    assert after.side_effects.bow_sd_mm == pytest.approx(
        np.hypot(own, before.side_effects.bow_sd_mm), rel=0.02
    )
    moved = after.remaining_work - before.remaining_work
    np.testing.assert_allclose(moved, ASIDE[0] * edge.work @ strain, rtol=0.02)


def test_its_work_on_an_equal_angle_is_that_of_the_finite_elements() -> None:
    """0.12364 rad per unit strain, away from the ends: the bow of a stroke on the leg that is worked."""
    part = core.job(rib(section=EQUAL, line=LINE)).part
    work = part.other_edge().work
    np.testing.assert_array_equal(work, np.diag(np.diag(work)))
    np.testing.assert_allclose(np.diag(work)[2:-2], 0.12364, rtol=0.002)
    assert 0.0 < work[0, 0] < work[1, 1]


@pytest.mark.parametrize("radius", ["40 m", "3 m"])
@pytest.mark.parametrize("name", ["angle", "channel, one", "Z"])
def test_its_work_moves_the_bar_as_the_beam_does(name: str, radius: str) -> None:
    """Bending and twisting of a straight beam, rigid motion taken out; on a curve about the same."""
    line = {"radius": radius, "length": "1200 mm"}
    part = core.job(rib(section=SECTIONS[name], line=line)).part
    at, rng = part.stations_mm, np.random.default_rng(4)
    for strain in (np.full(N, 0.004), np.where(np.arange(N) < 10, 0.004, 0.0), 0.004 * rng.random(N)):
        inward = beam_movement(part.beyond, at, at, part.length_mm, part.patch_length_mm).in_plane_mm @ strain
        done = part.linearise(np.zeros(N))
        moved = part.linearise(part.other_edge().work @ strain).deviation_mm - done.deviation_mm
        q, _ = np.linalg.qr(done.seating)
        one, other = (v - q @ (q.T @ v) for v in (inward, moved))
        assert np.abs(one - other).max() < (0.03 if radius == "40 m" else 0.15) * np.abs(one).max()


@pytest.mark.parametrize("name", ["angle", "channel, one", "Z"])
def test_a_bar_without_surprises_bows_by_the_formula(name: str) -> None:
    """The bar's own integration against the part's, for strokes on either flange."""
    job = section_job(name)
    bar = core.simulated_bar(job, 1, Truth())
    bar.work("shrink", "medium", [0] * 3 + [2] * (N - 6) + [0] * 3)
    first = job.part.side_effects(bar.work_done_rad())["bow_mm"]
    assert bar.bow_mm() == pytest.approx(first, rel=0.02)
    strokes = np.array([0] * 3 + [1, 2] * ((N - 6) // 2) + [0] * 3)
    bar.counter("stretch", "medium", strokes)
    second = -float(job.part.other_edge().bow_mm @ strokes) * job.tool.strain("medium")
    assert bar.bow_mm() - first == pytest.approx(second, rel=0.05)


def test_what_a_bar_shows_teaches_the_share() -> None:
    """A bar whose other flange does half of what is expected: the next counter-work asks for more strokes."""
    truth = Truth(other_flange=0.5, comes_along=0.65)
    bar, log = core.simulated_bar(JOB, 1, truth), []
    for strokes in (10, 6):
        bar.work("shrink", "medium", [strokes] * N)
        log += [core.pass_done("shrink", [strokes] * N), whole_round(bar), core.bow_read(bar.bow())]
    first = core.refit(JOB, log).counter
    assert first is not None and not first.known
    bar.counter(first.action, first.bite, first.half)
    log.append(core.counter_done(first.action, first.half, first.bite))
    unread = core.refit(JOB, log)
    assert not unread.counter.known and any("only reckoned" in text for text in unread.reasons)
    log += [whole_round(bar), core.bow_read(bar.bow())]
    advice = core.refit(JOB, log)
    second = advice.counter
    assert second is not None and second.known
    each, then = first.bow_mm / first.total, second.bow_mm / second.total
    assert then == pytest.approx(0.6 * each, rel=0.15)
    assert second.bow_sd_mm / second.total < 0.8 * first.bow_sd_mm / first.total
    assert any("By what the counter-work so far showed" in text for text in advice.reasons)
    assert not any("only reckoned" in text for text in advice.reasons)


def played(
    job: core.Job, seed: int, own: Sequence[int] = ()
) -> tuple[core.SimulatedBar, list[core.Event], core.Advice, list[float]]:
    """Worked as advised, counter-work too (half of a first guess), all read; how many sd each bow was off.
    own : strokes of shrinking on the other flange that nobody advised, once nothing is left to be done"""
    bar, log, off = core.simulated_bar(job, seed), [], []
    advice = core.refit(job, log)
    for _ in range(16):
        if advice.next_pass is not None:
            planned = advice.next_pass
            strokes = [int(m) for m in planned.strokes]
            bar.work(planned.action, planned.bite, strokes)
            log.append(core.pass_done(planned.action, strokes, planned.bite))
        elif advice.counter is not None:
            counter = advice.counter
            strokes = counter.strokes if counter.known else counter.half
            bar.counter(counter.action, counter.bite, strokes)
            log.append(core.counter_done(counter.action, strokes, counter.bite))
            told = core.refit(job, log).side_effects
            off.append((bar.bow_mm() - told.bow_mm) / told.bow_sd_mm)
        elif own:
            bar.counter("shrink", "medium", np.array(own))
            log.append(core.counter_done("shrink", own, "medium"))
            own = ()
        else:
            break
        log += [whole_round(bar), core.bow_read(bar.bow())]
        advice = core.refit(job, log)
    return bar, log, advice, off


@pytest.mark.parametrize("seed", range(4))
def test_the_bow_of_a_simulated_bar_comes_down(seed: int) -> None:
    """Within the tolerance in the plane, and out of it no more than is left alone, give or take a reading."""
    job = section_job("angle")
    bar, log, advice, off = played(job, seed)
    bows = [event["bow_mm"] for event in log if event["event"] == "bow_read"]
    assert max(map(abs, bows)) > 8.0
    assert abs(bar.bow_mm()) < 1.2 + 0.6
    assert advice.verdict == "within" and bar.widest_gap_mm() <= job.tolerance_mm + 0.05
    assert off and max(map(abs, off)) < 1.5 * BAND
    again = core.answering_part(job, log, seed)
    assert again.bow_mm() == pytest.approx(bar.bow_mm(), abs=1e-9)


def test_a_channel_that_counter_work_opens_or_closes_is_brought_back_to_its_curve() -> None:
    """There it moves the curve far more than the bow, so it is not advised; done all the same, the refit is
    told and the passes after it see to it."""
    job = section_job("channel, one")
    bar, log, advice, _ = played(job, 0, own=[2] * N)
    done = [event["event"] for event in log].index("counter_done")
    assert core.refit(job, log[:done]).verdict == "within"
    assert core.refit(job, log[: done + 2]).verdict == "outside"
    assert advice.verdict == "within" and bar.widest_gap_mm() <= job.tolerance_mm + 0.05


def test_the_gaps_after_it_do_not_contradict_the_log() -> None:
    """Told of strokes on the other flange, the refit takes gaps that are millimetres off; untold it sets most
    of them aside."""
    job = section_job("channel, one")
    _, log, _, _ = played(job, 2, own=[2] * N)
    first = next(i for i, event in enumerate(log) if event["event"] == "counter_done")
    told, untold = (fitted(job, events) for events in (log[: first + 2], [*log[:first], log[first + 1]]))
    aside = [len(answer.rounds[max(answer.rounds)].set_aside) for answer in (told, untold)]
    assert aside[0] == 0 and aside[1] > N // 2


def test_no_more_is_named_once_it_was_seen_to_do_nothing() -> None:
    log = [PASS, ROUND, core.bow_read(-9.0)]
    counter = core.refit(JOB, log).counter
    assert counter is not None
    done = core.counter_done(counter.action, counter.strokes, counter.bite)
    for bow_mm, named in ((-3.0, True), (-9.0, False), (-14.0, False)):
        after = core.refit(JOB, [*log, done, ROUND, core.bow_read(bow_mm)])
        assert (after.counter is not None) == named
        assert after.side_effects.bow_mm == pytest.approx(bow_mm, abs=0.5)


def test_annealing_softens_the_other_edge_too() -> None:
    done = core.counter_done("stretch", [40] * N, "heavy")
    hard, soft = (fitted(JOB, [PASS, done, *more]).worn.beyond for more in ([], [core.annealed()]))
    assert np.all(hard > 0.0) and np.all(soft == 0.0)
    assert np.all(fitted(JOB, [PASS, done]).strain == fitted(JOB, [PASS]).strain), "not of the worked edge"


def test_faces_that_stay_in_sight_are_smoothed_after_it() -> None:
    job = core.job(rib(line=LINE, gauge="steel rule", finish="visible", tool__face="smooth"))
    flat = core.gaps_read(["touching"] * N)
    log = [core.pass_done("shrink", [0] * N), flat, core.smoothed([4] * N, "light"), flat]
    steps, _ = log_of(job, log)
    assert smoothing_for(job, steps, "within", (), "shrink") is None
    steps, _ = log_of(job, [*log, DONE])
    assert smoothing_for(job, steps, "within", (), "shrink") is not None


def test_half_is_spread_as_evenly() -> None:
    counter = core.Counter("flange", "shrink", "medium", np.array([1, 2, 1, 2, 1]), -1.0, 0.1)
    assert counter.half.tolist() == [1, 1, 0, 1, 1]
    assert counter.half.sum() == 4 and np.all(counter.half <= counter.strokes)
    one = replace(counter, strokes=np.array([0, 1, 0, 0, 0]))
    assert one.half.tolist() == [0, 1, 0, 0, 0]


def test_the_terminal_says_it_by_station() -> None:
    log = [PASS, ROUND, core.bow_read(-9.0)]
    advice = core.refit(JOB, log)
    lines = next_lines(JOB, advice)
    at = next(
        i
        for i, line in enumerate(lines)
        if line.startswith("  counter-work against the bow, half of it: stretch the free")
    )
    half = advice.counter.half
    assert lines[at].endswith(f"{int(half.sum())} strokes")
    told = 0
    for line in lines[at + 1 :]:
        if not line.startswith("    "):
            break
        count, stations = line.split(" at station")
        places = [p.split(" to ") for p in stations.lstrip("s").strip().split(", ")]
        told += int(count.split()[0]) * sum(int(p[-1]) - int(p[0]) + 1 for p in places)
    assert told == half.sum()
    assert core.advice_document(advice)["counter"]["total"] == advice.counter.total
