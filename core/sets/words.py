"""What a set says, in words."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

from core.answers import against_as_many
from core.estimate.response import ResponseModel
from core.jobtypes import Job
from core.nearest import known_to
from core.seen import Seen
from core.sets.following import ANNOUNCED, NOTICED, Followed
from core.sets.parts import bare
from core.units import format_share_band

FEWEST_TOLD = 4  # parts since the response is followed, before its spreads are worth a sentence
LEAST_DRIFT = 0.01  # of ln work; less is not worth a word


def set_source(names: Sequence[str], course: Followed, job: Job) -> str:
    """Where the start of the next part is from, as the end of a sentence."""
    since = names[course.begun :]
    which = f"part {since[0]}" if len(since) == 1 else f"parts {since[0]} to {since[-1]}"
    earlier = () if course.begun else job.response.seen
    before = "; ".join(dict.fromkeys(seen.source for seen in earlier))
    return f"{which} of this set" + (f", and what they started from: {before}" if before else "")


def set_sentences(
    there: Job,
    names: Sequence[str],
    seen: Sequence[Seen],
    course: Followed,
    spreads: tuple[float, float],
    batch_begun: bool,
) -> tuple[str, ...]:
    """For the operator: what the next part starts from, how parts differ, what changed last.

    there : the job as the next part starts
    """
    if batch_begun:
        return ("Another batch is begun: what the parts before it told of their response no longer counts.",)
    told = len(names) - course.begun
    return (
        *(_start(there, seen) if names else ()),
        *(_spreads(*spreads) if told >= FEWEST_TOLD else ()),
        *_change(names, course),
    )


def _start(there: Job, seen: Sequence[Seen]) -> tuple[str, ...]:
    if not seen:
        return ("The parts so far tell nothing that the next one could start from.",)
    mostly = "shrink" if there.part.target.sum() > 0.0 else "stretch"
    first = next((one for one in seen if one.action == mostly), seen[0])
    without, with_it = (format_share_band(sd) for sd in known_to(there, first))
    does = against_as_many(ResponseModel(bare(there)), first)
    return (
        f"Starts from {first.source}: {first.strokes:.2g} strokes on a spot with the {first.bite} "
        f"{first.action} bite do {100 * does:.0f} % of the first guess, known to {with_it} instead of "
        f"{without}.",
    )


def _spreads(own_sd: float, drift_sd: float) -> tuple[str, ...]:
    drift = f" and drift by {format_share_band(drift_sd)} from one to the next"
    told = f"Parts of this set answer alike to {format_share_band(own_sd)}"
    return (f"{told}{drift if drift_sd > LEAST_DRIFT else ''}.",)


def _change(names: Sequence[str], course: Followed) -> tuple[str, ...]:
    """The last one, while the response is followed since then."""
    if not course.steps:
        return ()
    step, name = course.steps[course.begun], names[course.begun]
    gone = "what the parts before it told no longer counts"
    if step.change == ANNOUNCED:
        return (f"Another batch was begun with {name}: {gone}.",)
    if step.change == NOTICED:
        return (
            f"{name} answers {_weaker(step.step)} than {_before(names, course)}: new coil, or another tool? "
            f"Nobody noted it; {gone}.",
        )
    return ()


def _weaker(step: float) -> str:
    """A step of ln work, "30 % weaker"."""
    return f"{abs(100 * (exp(step) - 1.0)):.0f} % {'stronger' if step > 0.0 else 'weaker'}"


def _before(names: Sequence[str], course: Followed) -> str:
    """The parts before the change, since the one before that."""
    first = max((i for i in range(course.begun) if course.steps[i].change), default=0)
    last = course.begun - 1
    return names[last] if first == last else f"{names[first]} to {names[last]}"
