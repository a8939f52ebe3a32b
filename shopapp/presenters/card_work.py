"""What the pass card shows: the next pass, or the smoothing of faces that stay in sight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isnan
from typing import Any

import core
from shopapp.presenters import (
    bow_facts,
    disc_facts,
    doing,
    feeding,
    limit_runs,
    lobe_views,
    metal_words,
    pacer,
    plan_view,
    planning,
    stayed,
    steps,
    strips,
    turned_edge,
    verdicts,
    wording,
)
from shopapp.presenters.counts import Counts
from shopapp.presenters.picture_views import Plan
from shopapp.presenters.pieces import TODO, Fact, Outline, Strip


@dataclass(frozen=True)
class CardWork:
    """Strokes to be run now. action : "" for a smoothing; text : in a line; facts : what to set and expect;
    expected : what the list of passes later shows beside what it was; anneal_first : as for a pass; step :
    against lobes, its strokes one an arc, outline : the rim with those arcs; use : how much of the metal's
    limits a pass uses; setting : ram, face and rate, in a line"""

    action: str
    bite: str
    strokes: tuple[int, ...]
    feed: tuple[core.Zone, ...]
    text: str
    facts: tuple[Fact, ...]
    strip: Strip
    expected: dict[str, Any] = field(default_factory=dict)
    anneal_first: bool = False
    step: core.RoundingStep | None = None
    outline: Outline | None = None
    use: core.LimitUse | None = None
    setting: str = ""

    def word(self, sites: core.Sites, action: str, strokes: Sequence[int]) -> str:
        """What strokes of this action do, in a word or two."""
        if self.step is not None:
            return lobe_views.word(action, self.step.lobes)
        return doing.done_by(sites, action, strokes)

    def plan(self, job: core.Job) -> Plan | None:
        """Where it strikes on the part; a step against lobes has a drawing of its own."""
        struck = [site for site, count in enumerate(self.strokes) if count]
        return None if self.step is not None else plan_view.of_sites(job, struck, "strike")

    def event(self, action: str, bite: str, strokes: Sequence[int]) -> dict[str, Any]:
        """The entry of the log for it as it was run."""
        done = [int(m) for m in strokes]
        if self.step is not None:
            return core.rounded(action, self.step.lobes, self.step.at_deg, done[0], bite)
        return core.pass_done(action, done, bite) if self.action else core.smoothed(done, bite)


def work_now(standing: steps.Standing, pass_first: bool = False) -> CardWork | None:
    """What is to be run now; None when nothing is, or it is not known yet. pass_first : a pass goes before a
    step against lobes"""
    advice, step = standing.advice, steps.rounding(standing.advice)
    if advice is None or standing.closed:
        return None
    if step is not None and not (pass_first and advice.next_pass):
        return _rounding(standing.job, advice, step)
    if advice.next_pass is not None:
        return _pass(standing, advice, advice.next_pass)
    return None if advice.smooth_now is None else _smoothing(standing, advice.smooth_now)


def _pass(standing: steps.Standing, advice: core.Advice, planned: core.Pass) -> CardWork:
    job, use = standing.job, advice.limit_use
    before = _before(advice, planned)
    return CardWork(
        action=planned.action,
        bite=planned.bite,
        strokes=tuple(int(m) for m in planned.strokes),
        feed=planned.feed,
        text=steps.pass_text(job.part.sites, standing.passes_done + 1, planned),
        facts=(
            *_pass_facts(job, planned, steps.rounding(advice)),
            *stayed.allowed(job, advice),
            *turned_edge.fold_facts(job, advice, planned),
            *disc_facts.stops(job, planned.action, planned.strokes.tolist()),
            *bow_facts.after_pass(job, advice),
            *_time(job, planned, advice),
            limit_runs.nearest(use, job.part.sites.label),
            *limit_runs.strained(advice, planned, job.part.sites),
            *_feed_facts(planned.feed),
            *_pacer_facts(job, planned.feed),
        ),
        setting=setting(job.tools[planned.action], planned.bite, _rate(planned, job.tools[planned.action])),
        strip=strips.for_strokes(job, planned.action, planned.strokes, planned.feed, before, use),
        expected=planning.of_pass(planned),
        use=use,
        anneal_first=planned.anneal_first,
    )


def edited(job: core.Job, work: CardWork, counts: Counts, use: core.LimitUse | None) -> Strip:
    """The strip with counts as they are changed; use : see :func:`used_by`."""
    if work.step is not None:
        return lobe_views.strip(job, work.step, counts.strokes)
    return strips.for_strokes(job, counts.action, counts.strokes, (), use=use)


def used_by(advice: core.Advice | None, work: CardWork, counts: Counts) -> core.LimitUse | None:
    """How much of the metal's limits these counts would use, run as the part is now; None where nobody knows:
    of a smoothing, and of a step against lobes."""
    if advice is None or advice.use_of is None or work.step is not None or not counts.action:
        return None
    return advice.use_of(counts.action, counts.bite, counts.strokes)


def in_all(job: core.Job, work: CardWork, counts: Counts) -> int:
    """Strokes in all of these counts."""
    if work.step is not None:
        return lobe_views.in_all(job, counts.action, counts.strokes[0])
    return job.strokes_in_all(counts.action or job.smoother, counts.strokes)


def _rounding(job: core.Job, advice: core.Advice, step: core.RoundingStep) -> CardWork:
    tool, strokes = job.tools[step.action], (step.strokes,) * step.lobes
    basis = "the steps so far" if step.known else "a first guess: do that little"
    return CardWork(
        action=step.action,
        bite=step.bite,
        strokes=strokes,
        feed=(),
        text=lobe_views.text(step),
        facts=(
            Fact("Strokes on every spot of the arcs", str(step.strokes), big=True),
            Fact("Arcs of the rim", lobe_views.arcs(step)),
            *disc_facts.stops_at_rim(job, step),
            Fact("Strokes in all", str(lobe_views.in_all(job, step.action, step.strokes))),
            Fact("Tool set", wording.tool_set(tool)),
            Fact("Takes off the lobes", f"{lobe_views.takes(step)}, by {basis}"),
            Fact("Moves the whole rim", lobe_views.moves(step)),
            *_gap_after(step),
            Fact("Then", _after_rounding(advice)),
        ),
        setting=setting(tool, step.bite),
        strip=lobe_views.strip(job, step, strokes),
        step=step,
        outline=lobe_views.rim(job, advice, step),
    )


def _gap_after(step: core.RoundingStep) -> tuple[Fact, ...]:
    """All round, even part and lobes together; without a band, for what a step does is hardly known."""
    if isnan(step.gap_mm):
        return ()
    return (Fact("Expected widest gap", f"about {wording.length(step.gap_mm)}"),)


def _after_rounding(advice: core.Advice) -> str:
    if advice.next_pass is None:
        return "read the same meridians again"
    return "the pass, planned with what this moves; then read the same meridians again"


def _smoothing(standing: steps.Standing, wanted: core.Smoothing) -> CardWork:
    job = standing.job
    tool, rate = job.tools[job.smoother], f"{wanted.strokes_per_minute:.0f}/min"
    return CardWork(
        action="",
        bite=wanted.bite,
        strokes=tuple(int(m) for m in wanted.strokes),
        feed=wanted.feed,
        text=steps.smoothing_text(wanted),
        facts=(
            Fact("Strokes in all", str(wanted.total), big=True),
            *_face_for_smoothing(job, wanted),
            Fact("Then", "read the gaps again: it moves the part a little, either way"),
            Fact("Time", f"about {wording.minutes(wanted.minutes)}"),
            *_feed_facts(wanted.feed),
            *_pacer_facts(job, wanted.feed),
        ),
        setting=setting(tool, wanted.bite, rate, face=not wanted.change_face),
        strip=strips.for_strokes(job, "", wanted.strokes, wanted.feed),
        expected=planning.of_smoothing(wanted),
    )


def _face_for_smoothing(job: core.Job, wanted: core.Smoothing) -> tuple[Fact, ...]:
    """A face that leaves marks of its own is to be changed first."""
    tool = job.tools[job.smoother]
    if wanted.change_face:
        return (Fact("Tool face", f"change to smooth or soft: {tool.face} ones leave marks", TODO),)
    return *_change_fact(wanted.change_minutes), Fact("Tool set", wording.tool_set(tool))


def _before(advice: core.Advice, planned: core.Pass) -> tuple[int, ...]:
    """(n,) strokes of this pass as planned before the last reading; () when it was another pass."""
    was = advice.before[0] if advice.before else None
    if was is None or (was.action, was.bite) != (planned.action, planned.bite):
        return ()
    return tuple(int(m) for m in was.strokes)


def _feed_facts(feed: Sequence[core.Zone]) -> tuple[Fact, ...]:
    """What the signs in the row of feeds mean, where there are any."""
    said = ["×2: gone over twice, there and back"] if any(zone.goes > 1 for zone in feed) else []
    if any(zone.standing for zone in feed):
        most = max(zone.spots for zone in feed)
        shared = f", shared out over up to {most} spots side by side at each" if most > 1 else ""
        said.append(f"stand: strokes made standing at their marks{shared}")
    return (Fact("Feed", "; ".join(said)),) if said else ()


def _pacer_facts(job: core.Job, feed: Sequence[core.Zone]) -> tuple[Fact, ...]:
    """What the pacer's time is made of: the zones, and what comes before and between them."""
    legs = pacer.timeline(job.part.sites, feed)
    if not legs:
        return ()
    moving = pacer.duration_s(legs) - pacer.working_s(legs) - pacer.READY_S
    parts = [f"{pacer.READY_S:.0f} s to take hold", f"{wording.seconds(pacer.working_s(legs))} of strokes"]
    parts += [f"{wording.seconds(moving)} to move on between zones"] if moving > 0 else []
    return (Fact("Pacer", ", ".join(parts)),)


def _time(job: core.Job, planned: core.Pass, advice: core.Advice) -> tuple[Fact, ...]:
    """Minutes of this with its gaps and of the whole plan, where they are known; the changes of tool."""
    if isnan(planned.minutes):
        return ()
    plan = f"plan {wording.minutes(advice.minutes_left)}"
    return (Fact("Time", f"about {wording.minutes(planned.minutes)}, {plan}{feeding.in_all(job, advice)}"),)


def _pass_facts(job: core.Job, planned: core.Pass, step: core.RoundingStep | None) -> tuple[Fact, ...]:
    angles = turned_edge.angles_after(job, planned)
    return (
        *_anneal_facts(job, planned),
        *_change_fact(planned.change_minutes),
        Fact("Strokes in all", str(planned.total), big=True),
        Fact("Tool set", wording.tool_set(job.tools[planned.action])),
        Fact("Expected widest gap", lobe_views.expected(planned, step)),
        *((Fact("Turns it to", f"about {angles}"),) if angles else ()),
        Fact("Chance of going too far", _too_far(planned)),
    )


def _anneal_facts(job: core.Job, planned: core.Pass) -> tuple[Fact, ...]:
    if not planned.anneal_first:
        return ()
    how = Fact("Annealing", metal_words.annealing(job.metal))
    return Fact("Before the pass", wording.anneal(planned), TODO), how


def _change_fact(minutes: float | None) -> tuple[Fact, ...]:
    if minutes is None:
        return ()
    takes = f", about {wording.minutes(minutes)}" if minutes > 0.0 else ""
    return (Fact("Tool first", f"change to it{takes}", TODO),)


def _rate(planned: core.Pass, tool: core.Tool) -> str:
    """One that the feed of the machine brings down says so."""
    rate = tool.strokes_per_minute if isnan(planned.strokes_per_minute) else planned.strokes_per_minute
    slowed = ", slower for the feed" if rate < tool.strokes_per_minute else ""
    return f"{rate:.0f}/min{slowed}"


def setting(tool: core.Tool, bite: str, rate: str = "", face: bool = True) -> str:
    """What is set for a bite, in a line: "ram 0.8 mm, gripping face, 120/min". rate : in words, "" to
    leave it out"""
    ram = tool.settings.get(bite)
    told = (f"ram {ram.text}" if ram else "", f"{tool.face} face" if face else "", rate)
    return ", ".join(text for text in told if text)


def _too_far(planned: core.Pass) -> str:
    if isnan(planned.overshoot_risk):
        return "none to mind: the other action follows"
    return verdicts.chance(planned.overshoot_risk)
