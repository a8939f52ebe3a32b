"""A set-up in short: its line and its plan."""

from __future__ import annotations

import core
from shopapp.presenters import disc_facts, feeding, part_words, steps, wording
from shopapp.presenters.pieces import OVER, Fact
from shopapp.presenters.session import Fitted


def line_text(job: core.Job) -> str:
    """How long it is and how many sites it has."""
    sites, along = job.part.sites, part_words.words_of(job.part).along
    return f"{wording.length(job.part.length_mm)} {along}, {len(sites)} {sites.label}s"


def facts(plan: Fitted | None) -> tuple[Fact, ...]:
    """The plan in short; () while it is not known."""
    if plan is None:
        return ()
    if plan.advice is None:
        return (Fact("Plan", plan.problem, big=True),)
    passes = plan.advice.remaining
    strokes = sum(planned.total for planned in passes)
    listed = tuple(
        Fact(f"Pass {i + 1}", steps.pass_text(plan.job.part.sites, i + 1, p).partition(": ")[2])
        for i, p in enumerate(passes)
    )
    whole = f"{wording.count(len(passes), 'pass')}, {wording.count(strokes, 'stroke')}"
    after = passes[-1] if passes else None
    end = () if after is None else (_widest_then(plan.job, plan.advice, after),)
    plan_of = f"Plan {steps.ONCE_IT_FITS}" if plan.advice.misfits else "Plan"
    return (
        *(Fact(plan_of, whole, big=True), *disc_facts.blank(plan.job), *listed),
        *(*_smoothing(plan.advice), *end, *_time(plan.job, plan.advice), *_reach(plan.advice)),
    )


def _widest_then(job: core.Job, advice: core.Advice, last: core.Pass) -> Fact:
    """Where the plan ends; in so many words where that is outside the tolerance."""
    gap = wording.band(last.expected_gap_mm, last.expected_gap_sd_mm)
    if not feeding.more_may_follow(job, advice):
        return Fact("Widest gap then", gap)
    return Fact("Widest gap then", f"{gap}, outside {wording.limit(job.tolerance_mm)}", OVER)


def _smoothing(advice: core.Advice) -> tuple[Fact, ...]:
    wanted = advice.smoothing
    if wanted is None:
        return ()
    strokes = wording.count(wanted.total, "stroke")
    return (Fact("At the end", f"smooth, {wanted.bite} bite, {strokes}"),)


def _time(job: core.Job, advice: core.Advice) -> tuple[Fact, ...]:
    """All of it, with the changes of tool."""
    if not advice.minutes_left > 0.0:
        return ()
    return (Fact("Time", f"about {wording.minutes(advice.minutes_left)}{feeding.in_all(job, advice)}"),)


def _reach(advice: core.Advice) -> tuple[Fact, ...]:
    """How far this part could go in this metal."""
    return tuple(Fact(what, f"{size}, {limit}") for what, size, limit in wording.reach(advice))
