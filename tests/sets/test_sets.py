"""Parts alike, one after another: what the next one starts from, another batch, the sentences, the plan."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log
from typing import Any

import numpy as np
import pytest

import core
from core.estimate.response import ResponseModel
from core.nearest import known_to
from tests.made_up import rib

JOB = core.job(rib())  # invented, as all here
TRIAL = core.Seen("shrink", "heavy", 5.0, 1.3, 0.1, "trial on an offcut, 2 May")


def part(place: int, level: float, sd: float = 0.05, begun: bool = False) -> core.SetPart:
    return core.SetPart(f"Rib {place}", (core.Seen("shrink", "heavy", 5.0, exp(level), sd, "part"),), begun)


def started(seen: tuple[core.Seen, ...]) -> core.Job:
    return core.job(core.starting_from(rib(), seen))


def test_the_next_part_starts_from_what_the_parts_told():
    """Nearer to them with each part, and exactly as from a trial; no nearer than parts differ."""
    levels = [0.2, 0.25, 0.15, 0.22, 0.18]
    known = []
    for count in (1, 3, 5):
        outlook = core.set_outlook(JOB, [part(j + 1, level) for j, level in enumerate(levels[:count])])
        (seen,) = outlook.seen
        assert (seen.action, seen.bite, seen.strokes) == ("shrink", "heavy", 5.0)
        known.append(known_to(started(outlook.seen), seen)[1])
    assert known[0] > known[1] > known[2] > outlook.own_sd > 0.02
    assert log(seen.ratio) == pytest.approx(0.2, abs=0.03)
    assert seen.source == "parts Rib 1 to Rib 5 of this set"
    assert core.refit(started(outlook.seen), []).next_pass is not None


def test_before_the_first_part_the_job_starts_from_what_it_has():
    job = started((TRIAL,))
    assert core.set_outlook(job, []).seen == (TRIAL,)
    assert core.set_outlook(JOB, []).seen == ()
    later = core.set_outlook(job, [part(1, 0.2)]).seen
    assert later[0].source == f"part Rib 1 of this set, and what they started from: {TRIAL.source}"
    alone = core.set_outlook(JOB, [part(1, 0.2)]).seen
    assert 0.2 < log(later[0].ratio) < log(1.3) and later[0].sd < alone[0].sd


def test_another_batch_is_learned_anew():
    """What came before it counts for how parts differ, and for nothing else; the trial neither."""
    old = [part(j + 1, 0.3) for j in range(3)]
    outlook = core.set_outlook(started((TRIAL,)), [*old, part(4, -0.1, begun=True)])
    assert (outlook.begun, outlook.steps[3].change) == (3, "announced")
    assert log(outlook.seen[0].ratio) == pytest.approx(-0.1, abs=0.01)
    assert outlook.seen[0].source == "part Rib 4 of this set"
    assert outlook.sentences[-1].startswith("Another batch was begun with Rib 4: ")
    coming = core.set_outlook(JOB, old, batch_begun=True)
    assert (coming.seen, coming.begun) == ((), 3)
    assert len(coming.sentences) == 1 and coming.sentences[0].startswith("Another batch is begun")


def test_a_change_is_noticed_and_said():
    parts = [part(j + 1, 0.2 + 0.03 * (-1) ** j) for j in range(5)]
    outlook = core.set_outlook(JOB, [*parts, part(6, -0.3)])
    assert (outlook.begun, outlook.steps[5].change, outlook.steps[5].noticed_at) == (5, "noticed", 5)
    assert outlook.steps[5].error.score < -2.5
    assert log(outlook.seen[0].ratio) == pytest.approx(-0.3, abs=0.05)
    assert "Rib 6 answers 40 % weaker than Rib 1 to Rib 5: new coil" in outlook.sentences[-1]
    assert core.set_outlook(JOB, parts).begun == 0


def test_the_sentences_name_source_and_figures():
    outlook = core.set_outlook(JOB, [part(j + 1, 0.2) for j in range(4)])
    seen = outlook.seen[0]
    was, now = known_to(started(outlook.seen), seen)
    row = ResponseModel(JOB).alone("shrink", "heavy", 5.0)
    expected = exp(float(row @ ResponseModel(JOB).mean)) / 5.0  # of each of five, against a first one alone
    assert outlook.sentences[0] == (
        "Starts from parts Rib 1 to Rib 4 of this set: 5 strokes on a spot with the heavy shrink bite do "
        f"{100 * seen.ratio / expected:.0f} % of the first guess, known to ± {196 * now:.0f} % instead of "
        f"± {196 * was:.0f} %."
    )
    assert outlook.sentences[1].startswith("Parts of this set answer alike to ± ")


def test_a_part_that_told_nothing_changes_nothing():
    told = [part(1, 0.2), part(2, 0.25)]
    with_it = core.set_outlook(JOB, [told[0], core.SetPart("Rib 1b", ()), told[1]])
    without = core.set_outlook(JOB, told)
    assert with_it.seen[0].ratio == pytest.approx(without.seen[0].ratio, rel=0.01)
    assert core.set_outlook(JOB, [core.SetPart("Rib 1b", ())]).sentences == (
        "The parts so far tell nothing that the next one could start from.",
    )


def test_a_part_from_its_log():
    begun = {**core.batch_begun(), "id": "a"}
    core.check_event(JOB, begun)
    assert core.set_part(JOB, [begun], (TRIAL,)) == core.SetPart(JOB.name, (TRIAL,), True)
    assert not core.set_part(JOB, [begun, core.withdrawn("a")], ()).batch_begun
    assert core.refit(JOB, [begun]).next_pass.total == core.refit(JOB, []).next_pass.total


@pytest.mark.parametrize(("field", "value"), [("action", "bend"), ("bite", "huge")])
def test_what_the_job_does_not_have_is_refused(field, value):
    odd = core.SetPart("Rib 2", (replace(TRIAL, **{field: value}),))
    with pytest.raises(core.InputError) as caught:
        core.set_outlook(JOB, [part(1, 0.2), odd])
    assert caught.value.field == f"parts[1].told[0].{field}"


# Do it as last time: the plan of the next part from what was learned.

SHORT: dict[str, Any] = {"line__length": "600 mm"}


def worked(job: core.Job, seed: int, batch: int) -> tuple[list[core.Pass], core.SetPart]:
    """A bar of an invented batch by its plans until within, six passes at most."""
    bar, events, passes = core.simulated_bar(job, seed, batch=batch), [], []
    advice = core.refit(job, events)
    while advice.next_pass is not None and len(passes) < 6:
        passes.append(advice.next_pass)
        strokes = [int(m) for m in advice.next_pass.strokes]
        bar.work(passes[-1].action, passes[-1].bite, strokes)
        gaps, gauges = bar.gaps_by_any_gauge()
        events.append(core.pass_done(passes[-1].action, strokes, passes[-1].bite))
        events.append(core.gaps_read(gaps, gauges if any(gauges) else None))
        advice = core.refit(job, events)
    return passes, core.set_part(job, events, advice.learned, advice.told)


def after_two_parts(batch: int) -> tuple[list[core.Pass], core.Job]:
    """What worked on part 2, and part 3 as it starts."""
    first = core.job(rib(**SHORT))
    parts = [worked(first, 10 * batch + 1, batch)[1]]
    second = core.job(core.starting_from_set(rib(**SHORT), core.set_outlook(first, parts)))
    passes, told = worked(second, 10 * batch + 2, batch)
    document = core.starting_from_set(rib(**SHORT), core.set_outlook(first, [*parts, told]))
    return passes, core.job(document)


def amount(job: core.Job, passes: list[core.Pass]) -> float:
    """Edge strain that passes put in by the first guess of a stroke, over all stations."""
    sign = {"shrink": 1.0, "stretch": -1.0}
    return sum(sign[p.action] * job.tools[p.action].strain(p.bite) * p.total for p in passes)


@pytest.mark.slow
def test_the_plan_of_part_3_is_near_what_worked_on_part_2():
    """Strokes by their nominal strain, in all, over eight batches: within a fifth; the plan from the first
    guess is more than twice as far off."""
    bare, off = core.job(rib(**SHORT)), []
    for batch in range(11, 19):
        done, third = after_two_parts(batch)
        plans = [core.refit(job, []).remaining for job in (third, bare)]
        off.append([np.log(amount(bare, list(plan)) / amount(bare, done)) for plan in plans])
    learned, guessed = np.sqrt(np.mean(np.square(off), axis=0))
    assert learned < 0.2
    assert guessed > 2.0 * learned
