"""From a job and its log to advice: the one entry that scripts, command line and screens use."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import nan
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.advice import CLOSE, UNMEASURED, WITHIN, Advice, Reseat
from core.answers import answers
from core.counterwork import counter_reasons, counter_work, countering
from core.estimate.fit import Fit
from core.estimate.roundfit import RoundFit
from core.estimate.standing import of
from core.gaphistory import gap_history_mm
from core.heldup import all_ahead, misfit_reasons, misfits_of
from core.jobtypes import Job
from core.learned import learned, told_by
from core.limitreasons import folds_always, limit_reasons, used_up
from core.limituse import StrokesUse
from core.lobestold import counted, leaving_room, planned_from
from core.lobing import lobing, lobing_reasons
from core.oddresponse import odd_round
from core.outofplane import Foreseen, foreseen
from core.plan.minutes import changes_left, minutes_left
from core.planned import Pass, Smoothing
from core.plannednow import mounted, planned_now
from core.reachable import reach
from core.readings.offering import layout_of, readable_mm
from core.readings.reading import readings_of
from core.readings.rounds import PassDone, Round, Step, in_force, laid_out
from core.readings.seating import best_seating
from core.reasons import reasons_for
from core.resting import resting
from core.rimdoubt import rim_doubt
from core.rounddoubts import (
    doubted,
    fit_or_explain,
    round_cautions,
    round_doubts,
    rounds_since,
    tells,
    told_enough,
)
from core.shown import Shown
from core.smoothing import READ_FIRST, read_first, smoothing_for, smoothing_reasons
from core.stayed import allowed_for, stayed_of
from core.taken import Taken, taken_in, taken_reasons, with_taken
from core.toolreasons import none_done, tool_reasons
from core.verdict import Fitness, decide, fitness

Array = NDArray[np.float64]
NO_WORSE_MM = 0.02  # of the widest gap
_SHOWN = Shown()


def refit(job: Job, events: Iterable[Any]) -> Advice:
    """The advice for a part from its whole log. Pure: same input, same answer.

    events : mappings as :mod:`core.events` makes them, oldest first. Raises InputError when an event
    does not fit the job. Plans are remembered, to be held against the next one.
    """
    live = in_force(job, events)
    steps, bows = laid_out(job, live)
    taken = taken_in(live)
    started = with_taken(job, taken)
    fitted = fit_or_explain(started, steps)
    started = of(started, fitted.part)
    where, rests = counted(started, steps, fitted), resting(started, steps, fitted)
    now = fitness(started, fitted.lobed, _last_seat(started, steps, fitted), where, rests)
    told = decide(now.chance, job.confidence) if told_enough(started, steps) else UNMEASURED
    within = told == WITHIN
    odd = odd_round(started, steps, fitted)  # nothing is worked by such a round
    doubts = round_doubts(started, steps, fitted, odd)
    roomy = leaving_room(started, steps, fitted, now.offered.widest_mm)
    planned = () if within or odd or read_first(steps, told) else planned_now(roomy, steps, fitted)
    rim = rim_doubt(started, steps) if told in (WITHIN, CLOSE) else ""
    unsure = rim or (within and (doubts or doubted(started, steps, fitted)))
    verdict = CLOSE if unsure else told
    _SHOWN.keep(job, [*taken, *steps], planned)
    beside = foreseen(started, steps, bows, fitted, planned)
    advice = _advised(started, steps, fitted, now, verdict, beside, _shown_before(job, taken, steps))
    advice = replace(advice, counter=None, counter_then=None) if odd else advice
    ahead = all_ahead(advice)
    misfits = misfits_of(job, live, ahead)
    reasons = () if odd else _reasons(started, roomy, steps, fitted, advice, beside.read)
    said = (
        *misfit_reasons(misfits, ahead),
        *([rim] if rim else []),
        *reasons,
        *taken_reasons(started, job, taken),
    )
    stayed = stayed_of(started, steps, fitted)
    allowed = allowed_for(fitted, advice.next_pass)
    cautions = round_cautions(started, steps, fitted)
    return replace(
        advice,
        chance_within=nan if doubts else advice.chance_within,
        doubts=doubts,
        gap_history_mm=(*advice.gap_history_mm[:-1], nan) if doubts else advice.gap_history_mm,
        warnings=(*job.warnings, *cautions, *doubts),
        misfits=misfits,
        reasons=said,
        stayed=tuple(one for one in stayed if not doubts or one.number < advice.passes_done),
        allowed_for=allowed,
        part=fitted.part,
    )


def _advised(
    job: Job,
    steps: list[Step],
    fitted: Fit,
    now: Fitness,
    verdict: str,
    beside: Foreseen,
    before: tuple[Pass, ...],
) -> Advice:
    """All but the reasons. before : the plan that was on show before the last pass"""
    remaining = beside.passes
    smoothing = smoothing_for(job, steps, verdict, remaining, mounted(steps))
    ahead: list[Pass | Smoothing] = [*remaining, *([] if smoothing is None else [smoothing])]
    changes, change_minutes = changes_left(ahead)
    suspects, reseat = doubted(job, steps, fitted), _reseat(job, steps, fitted, now)
    n, response = fitted.sites, answers(steps, fitted, _last_told(job, steps))
    expected, expected_sd = _expected_readings(job, now)
    by = countering(job, steps, fitted, beside.share, beside.told)
    done, use = job.part.target - fitted.belief.mean[:n], StrokesUse(job, fitted)
    return Advice(
        verdict=verdict,
        chance_within=now.chance,
        widest_gap_mm=now.widest_mm,
        widest_gap_sd_mm=now.widest_sd_mm,
        widest_at=now.offered.at,
        deviation_mm=now.deviation_mm,
        deviation_sd_mm=now.deviation_sd_mm,
        expected_reading_mm=expected,
        expected_reading_sd_mm=expected_sd,
        remaining_work=fitted.belief.mean[:n],
        remaining_work_sd=np.sqrt(np.diag(fitted.belief.cov)[:n]),
        next_pass=remaining[0] if remaining else None,
        remaining=remaining,
        before=before,
        response=response,
        suspects=suspects,
        reseat=reseat,
        reasons=(),
        warnings=(),
        side_effects=beside.now,
        side_effects_then=beside.then,
        side_effects_end=beside.end,
        counter=counter_work(job, beside.now, beside.end, by, beside.twist_rad),
        counter_then=counter_work(job, beside.then, beside.end, by, beside.twist_then_rad),
        edge_strain=fitted.edge.total,
        limit_use=use.after(remaining),
        thickness_mm=job.part.thickness_mm(job.net_strain(done)),
        thickness_then_mm=job.part.thickness_mm(job.part.asked_strain()),
        passes_done=sum(isinstance(s, PassDone) for s in steps),
        gap_history_mm=gap_history_mm(job, steps, fitted, now.widest_mm),
        minutes_left=minutes_left(ahead),
        tool_changes=changes,
        change_minutes=change_minutes,
        smoothing=smoothing,
        learned=learned(job, steps, fitted, {key for key, told in response.items() if told.known}),
        lobing=lobing(job, steps, fitted, verdict == WITHIN),
        told=told_by(fitted),
        reach=reach(job),
        use_of=use,
    )


def _reasons(
    job: Job, roomy: Job, steps: list[Step], fitted: Fit, advice: Advice, bow_read: bool
) -> tuple[str, ...]:
    """As the part is without the readings in doubt, which have a sentence of their own. roomy : the job that
    passes were planned for"""
    plan, verdict = advice.remaining, advice.verdict
    if read_first(steps, verdict):
        return (READ_FIRST,)
    if verdict == CLOSE:
        verdict = decide(advice.chance_within, job.confidence)
    used = {} if verdict == WITHIN else used_up(job, fitted, plan)
    lobes_alone = not plan and verdict != WITHIN and planned_from(roomy, steps, fitted) is None
    return (
        *reasons_for(
            job,
            verdict,
            _last_read(job, steps),
            advice.response,
            advice.before,
            plan,
            advice.suspects,
            advice.reseat,
            advice.widest_gap_mm,
            barred=bool(used) or lobes_alone or (not plan and (folds_always(job) or none_done(job))),
            begun=bool(steps),
        ),
        *limit_reasons(job, fitted, plan, verdict, used),
        *tool_reasons(job, advice.remaining_work, plan, verdict, advice.passes_done > 0),
        *smoothing_reasons(job, advice.smoothing),
        *counter_reasons(job, advice.counter, bow_read, advice.side_effects, advice.side_effects_end),
        *lobing_reasons(job, verdict, advice.lobing, advice.widest_gap_mm, bool(plan), lobes_alone),
    )


def _last_seat(job: Job, steps: list[Step], fitted: Fit) -> Array | None:
    """Where the job's own template lay when it was last offered up: near its best seating now."""
    for k, step in reversed(list(enumerate(steps))):
        if isinstance(step, Round) and step.template == job.template:
            return fitted.rounds[k].seat
    return None


def _shown_before(begun: Job, taken: tuple[Taken, ...], steps: list[Step]) -> tuple[Pass, ...]:
    """What the plan on show before the last pass wanted after that pass; nothing until that pass is read.

    A trial taken up since was not in that plan.
    """
    if len(steps) < 2 or not isinstance(steps[-1], Round) or not isinstance(steps[-2], PassDone):
        return ()
    earlier = steps[:-2]
    passes = sum(isinstance(step, PassDone) for step in earlier)
    then = [one for one in taken if one.passes <= passes]
    job = with_taken(begun, then)
    told = [*then, *earlier]
    return _SHOWN.plan(begun, told, lambda: planned_now(job, earlier, fit_or_explain(job, earlier)))[1:]


def _last_read(job: Job, steps: list[Step]) -> tuple[str, str] | None:
    """Action and bite of the last pass with strokes that was followed by a round which told something."""
    read = False
    for step in reversed(steps):
        if isinstance(step, PassDone) and read and step.strokes.any():
            return step.action, step.bite
        read = read or (isinstance(step, Round) and tells(job, step) > 0)
    return None


def _current_rounds(steps: list[Step], fitted: Fit) -> list[tuple[Round, RoundFit]]:
    """Rounds read since the last pass, newest first."""
    steps_read = ((steps[k], fitted.rounds[k]) for k in rounds_since(steps))
    return [(step, said) for step, said in steps_read if isinstance(step, Round)]


def _reseat(job: Job, steps: list[Step], fitted: Fit, now: Fitness) -> Reseat | None:
    """Where the gaps as seated are outside and they would be within as the verdict seats the template."""
    rounds = _current_rounds(steps, fitted)
    if not rounds or rounds[0][0].template != job.template or now.widest_mm > job.tolerance_mm:
        return None
    step, said = rounds[0]
    if len(said.seat) < 2:  # a template without play
        return None
    places = readable_mm(job.part, job.template)
    here = readings_of(job.part, step.template, fitted.belief.mean[: fitted.sites], said.seat, places)
    seated_mm = float(np.max(np.abs(here.deviation_mm)))
    if seated_mm <= job.tolerance_mm:
        return None
    held = np.where(np.isfinite(job.part.seat_bound), 0.0, np.inf)
    still = best_seating(here.deviation_mm, here.seating, (-held, held), step.template.rigid)
    # Along the marks it is moved only where that is worth it; on a circle, tilt does the same.
    as_good = still.widest_mm <= now.widest_mm + NO_WORSE_MM
    motion = still.motion if as_good else now.offered.seat - said.seat
    shift, tilt, *along = -motion  # the template goes the other way than the part
    return Reseat(float(shift), float(tilt), now.widest_mm, float(sum(along)), seated_mm)


def _last_told(job: Job, steps: list[Step]) -> int:
    """Index of the last round that told something, -1 for none."""
    return max((k for k, s in enumerate(steps) if isinstance(s, Round) and tells(job, s)), default=-1)


def _expected_readings(job: Job, now: Fitness) -> tuple[Array, Array]:
    """What the job's gauge should show at every station under the best seating, NaN where unreadable."""
    n = len(job.part.sites)
    readable = layout_of(job.part, job.template).readable[:n]
    read = int(readable.sum())
    mean, sd = np.full(n, np.nan), np.full(n, np.nan)
    mean[readable] = now.here.readings_mm[:read]
    sd[readable] = np.hypot(now.reading_sd_mm[:read], job.gauge.sd_mm(job.template.sd_mm))
    return mean, sd
