"""The bow out of the plane in words: its side, what was read, what was expected, what the plan leaves."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from typing import Any

import numpy as np

import core
from shopapp.presenters import verdicts, wording
from shopapp.presenters.pieces import Fact
from shopapp.presenters.screening import DOUBT
from shopapp.presenters.steps import Standing

Event = dict[str, Any]
BOTH = 0.05
"""share of the most that is asked for, from which what is asked for the other way counts"""
READ = (
    "Hold the worked flange level at mid-length over the bench plate, both ends free. The bow is the height "
    "of the heel there less the mean of the two ends."
)
BOTH_WAYS = "This line bends both ways: a small bow does not say that the bar is flat."
TIPS = "Left to lie as it likes, a curved bar tips until hardly any bow shows."


def how(job: core.Job) -> tuple[str, ...]:
    """How the bow is read, as the estimator means it: against the plane of the worked flange half-way."""
    target = job.part.target
    both = min(target.max(), -target.min()) > BOTH * np.abs(target).max()
    return (READ, *((BOTH_WAYS,) if both else ()), TIPS)


def sides(job: core.Job) -> tuple[str, str]:
    """Where the middle stands out to for a bow > 0 and < 0."""
    found: tuple[str, str] = job.part.side_effects(np.zeros(len(job.part.sites)))["sides"]
    return found


def bows(job: core.Job, advice: core.Advice | None) -> bool:
    """Whether work bows this section, and how much is known."""
    return advice is not None and advice.side_effects is not None and core.bows(job.part)


def expected(effect: core.OutOfPlane) -> str:
    """A bow as reckoned, "16 ± 12 mm away from the upright flange"."""
    return f"{wording.band(abs(effect.bow_mm), effect.bow_sd_mm)} {effect.side}"


def foretold(effect: core.OutOfPlane) -> str:
    """The same, or that it cannot be foretold."""
    return core.asides(effect)[0] or expected(effect)


def short(effect: core.OutOfPlane) -> str:
    """Bow and twist as reckoned, with bands and side; what cannot be seen left out."""
    return core.beside(effect)


def after_pass(job: core.Job, advice: core.Advice) -> tuple[Fact, ...]:
    """Bow and twist after the next pass, and what brings the bow back; what cannot be seen left out."""
    then, planned, counter = advice.side_effects_then, advice.next_pass, advice.counter_then
    if then is None or planned is None:
        return ()
    after = zip(("Bow after it", "Twist after it"), core.asides(planned), strict=True)
    found = [Fact(label, told) for label, told in after if told]
    if counter is not None:
        what = f"{counter.action} the free edge of the {counter.where}, {counter.bite} bite"
        strokes = wording.count(counter.total, "stroke")
        found.append(
            Fact(f"Brings the {counter.against} back", f"{what}, {strokes}: see Bow, by way of Result")
        )
    return tuple(found)


def read(job: core.Job, bow_mm: float) -> str:
    """A bow as read, "2.50 mm away from the upright flange"."""
    side = f" {sides(job)[bow_mm < 0.0]}" if bow_mm else ""
    return f"{wording.length(abs(bow_mm))}{side}"


def note_before(effect: core.OutOfPlane) -> Event:
    """What goes into the log just before a bow: what was expected of it, so that both can be shown."""
    told = {"bow_mm": float(effect.bow_mm), "bow_sd_mm": float(effect.bow_sd_mm)}
    return core.note(f"bow expected: {expected(effect)}", expected_bow=told)


def last_reading(live: Sequence[Event]) -> tuple[Event, dict[str, float]] | None:
    """The last bow read since the last pass or counter-work, with what was expected of it, {} where not
    known."""
    found: tuple[Event, dict[str, float]] | None = None
    told: dict[str, float] = {}
    for event in live:
        if event["event"] in ("pass_done", "counter_done"):
            found = None
        elif event["event"] == "bow_read":
            found = (event, told)
        told = event.get("expected_bow", {}) if event["event"] == "note" else {}
    return found


def facts(standing: Standing) -> tuple[Fact, ...]:
    """Bow read against expected, or expected alone, and what the plan leaves; () where nothing bows."""
    job, advice = standing.job, standing.advice
    if advice is None or advice.side_effects is None or not bows(job, advice):
        return ()
    last = last_reading(standing.live)
    if last is not None:
        found = [_read_against_expected(job, *last)]
    else:
        found = [Fact("Bow expected by now", foretold(advice.side_effects))] if standing.passes_done else []
    result = core.bow_result(job, advice.side_effects) if standing.passes_done else None
    if result is not None:
        label = f"For the finish check, {result.check.limit}"
        found.append(Fact(label, result.verdict, verdicts.CHECKED[result.verdict]))
    if advice.next_pass is not None and advice.side_effects_end is not None:
        found.append(Fact("Bow that the plan leaves", foretold(advice.side_effects_end)))
    return tuple(found)


def doubt(standing: Standing, check: core.Check, value: float) -> str:
    """Why a finish check of the bow should be read again, or ""."""
    effect = None if standing.advice is None else standing.advice.side_effects
    if not check.bow or effect is None or not bows(standing.job, standing.advice):
        return ""
    if abs(value - abs(effect.bow_mm)) <= DOUBT * hypot(effect.bow_sd_mm, check.sd):
        return ""
    return (
        f"{wording.length(value)} was read, by the bow so far {expected(effect)} is expected. "
        "Read it again; where it is right, touch Enter again."
    )


def _read_against_expected(job: core.Job, event: Event, told: dict[str, float]) -> Fact:
    """The bow as read, with what was expected of it in its label; the side again where it differs."""
    label, bow_mm = "Bow read", event["bow_mm"]
    if told:
        band = wording.band(abs(told["bow_mm"]), told["bow_sd_mm"])
        other = (told["bow_mm"] < 0.0) != (bow_mm < 0.0)
        side = f" {sides(job)[told['bow_mm'] < 0.0]}" if other else ""
        countered = " without counter-work" if event.get("countered") else ""
        label = f"{label}, {band}{side} expected{countered}"
    return Fact(label, read(job, bow_mm))
