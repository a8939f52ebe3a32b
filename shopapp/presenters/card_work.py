"""What the pass card shows: the next pass, or the smoothing of faces that stay in sight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isnan
from typing import Any

import core
from shopapp.presenters import pacer, planning, steps, strips, wording
from shopapp.presenters.pieces import TODO, Fact, Strip


@dataclass(frozen=True)
class CardWork:
    """Strokes to be run now. action : "" for a smoothing; text : in a line; facts : what to set and expect;
    expected : what the list of passes later shows beside what it was; anneal_first : as for a pass"""

    action: str
    bite: str
    strokes: tuple[int, ...]
    feed: tuple[core.Zone, ...]
    text: str
    facts: tuple[Fact, ...]
    strip: Strip
    expected: dict[str, Any] = field(default_factory=dict)
    anneal_first: bool = False

    @property
    def word(self) -> str:
        """What is done, in a word."""
        return word_of(self.action)

    def event(self, action: str, bite: str, strokes: Sequence[int]) -> dict[str, Any]:
        """The entry of the log for it as it was run."""
        done = [int(m) for m in strokes]
        return core.pass_done(action, done, bite) if self.action else core.smoothed(done, bite)


def word_of(action: str) -> str:
    """An action as a word; "" is smoothing."""
    return wording.ACTIONS[action] if action else wording.SMOOTH


def work_now(standing: steps.Standing) -> CardWork | None:
    """What is to be run now; None when nothing is, or it is not known yet."""
    advice = standing.advice
    if advice is None or standing.closed:
        return None
    if advice.next_pass is not None:
        return _pass(standing, advice, advice.next_pass)
    return None if advice.smoothing is None else _smoothing(standing, advice.smoothing)


def _pass(standing: steps.Standing, advice: core.Advice, planned: core.Pass) -> CardWork:
    job, use = standing.job, advice.limit_use
    nearest = Fact("Nearest to a limit", wording.nearest_limit(use, job.part.sites.label))
    before = _before(advice, planned)
    return CardWork(
        action=planned.action,
        bite=planned.bite,
        strokes=tuple(int(m) for m in planned.strokes),
        feed=planned.feed,
        text=steps.pass_text(standing.passes_done + 1, planned),
        facts=(
            *_pass_facts(job, planned),
            *_time(planned.minutes, advice.minutes_left),
            nearest,
            *_pacer_facts(job, planned.feed),
        ),
        strip=strips.for_strokes(job, planned.action, planned.strokes, planned.feed, before, use.share),
        expected=planning.of_pass(planned),
        anneal_first=planned.anneal_first,
    )


def _smoothing(standing: steps.Standing, wanted: core.Smoothing) -> CardWork:
    job = standing.job
    return CardWork(
        action="",
        bite=wanted.bite,
        strokes=tuple(int(m) for m in wanted.strokes),
        feed=wanted.feed,
        text=steps.smoothing_text(wanted),
        facts=(
            Fact("Strokes in all", str(wanted.total), big=True),
            *_bite_facts(job.tools[job.smoother], wanted.bite),
            _face_for_smoothing(job, wanted),
            Fact("Stroke rate", f"{wanted.strokes_per_minute:.0f} strokes/min"),
            Fact("Then", "read the gaps again: it moves the part a little, either way"),
            Fact("Time", f"about {wording.minutes(wanted.minutes)}"),
            *_pacer_facts(job, wanted.feed),
        ),
        strip=strips.for_strokes(job, "", wanted.strokes, wanted.feed),
        expected=planning.of_smoothing(wanted),
    )


def _face_for_smoothing(job: core.Job, wanted: core.Smoothing) -> Fact:
    """A face that leaves marks of its own is to be changed first."""
    tool = job.tools[job.smoother]
    if wanted.change_face:
        return Fact("Tool face", f"change to smooth or soft: {tool.face} ones leave marks", TODO)
    return Fact("Tool face", _set_of(job, tool))


def _before(advice: core.Advice, planned: core.Pass) -> tuple[int, ...]:
    """(n,) strokes of this pass as planned before the last reading; () when it was another pass."""
    was = advice.before[0] if advice.before else None
    if was is None or (was.action, was.bite) != (planned.action, planned.bite):
        return ()
    return tuple(int(m) for m in was.strokes)


def _pacer_facts(job: core.Job, feed: Sequence[core.Zone]) -> tuple[Fact, ...]:
    """What the pacer's time is made of: the zones, and what comes before and between them."""
    legs = pacer.timeline(job.part.sites, feed)
    if not legs:
        return ()
    moving = pacer.duration_s(legs) - pacer.working_s(legs) - pacer.READY_S
    parts = [f"{pacer.READY_S:.0f} s to take hold", f"{wording.seconds(pacer.working_s(legs))} of strokes"]
    parts += [f"{wording.seconds(moving)} to move on between zones"] if moving > 0 else []
    return (Fact("Pacer", ", ".join(parts)),)


def _time(minutes: float, left: float) -> tuple[Fact, ...]:
    """Minutes of this with its gaps and of the whole plan, where they are known."""
    if isnan(minutes):
        return ()
    return (Fact("Time", f"about {wording.minutes(minutes)}, plan {wording.minutes(left)}"),)


def _pass_facts(job: core.Job, planned: core.Pass) -> tuple[Fact, ...]:
    together = "pressing together" if planned.action == "shrink" else "pulling apart"
    tool = job.tools[planned.action]
    return (
        *((Fact("First", "anneal the part", TODO),) if planned.anneal_first else ()),
        Fact("Strokes in all", str(planned.total), big=True),
        *_bite_facts(tool, planned.bite),
        Fact("Tool face", f"{_set_of(job, tool)}, {together}"),
        Fact("Stroke rate", f"{tool.strokes_per_minute:.0f} strokes/min"),
        Fact("Expected widest gap", wording.band(planned.expected_gap_mm, planned.expected_gap_sd_mm)),
        Fact("Chance of going too far", _too_far(planned)),
    )


def _set_of(job: core.Job, tool: core.Tool) -> str:
    """The face, and which set it is where the job has more than one."""
    several = any(each != tool for each in job.tools.values())
    return f"{tool.face} ({tool.name})" if several and tool.name else tool.face


def _bite_facts(tool: core.Tool, bite: str) -> tuple[Fact, ...]:
    setting = tool.settings.get(bite)
    return (Fact("Bite", bite), *((Fact("Ram setting", setting.text),) if setting else ()))


def _too_far(planned: core.Pass) -> str:
    if isnan(planned.overshoot_risk):
        return "none to mind: the other action follows"
    return wording.chance(planned.overshoot_risk)
