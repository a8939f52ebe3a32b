"""What comes beside the next pass, as lines of text for the terminal: bow, twist, counter-work, limits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

import core
from shopapp.presenters import bow_facts, disc_facts, turned_edge, wording
from shopapp.presenters.limit_runs import counted
from shopapp.presenters.part_words import words_of

if TYPE_CHECKING:
    from core import Advice, Job, Pass


def side_effects(job: Job, advice: Advice) -> Iterator[str]:
    """Bow out of the plane and twist, which come unasked, with 95 % bands: now, then and at the end."""
    times = {"by now": advice.side_effects} if advice.passes_done else {}
    if advice.next_pass is not None:
        times["after the next pass"] = advice.side_effects_then
    if len(advice.remaining) > 1:
        times["at the end of the plan"] = advice.side_effects_end
    told = {when: effect for when, effect in times.items() if effect is not None}
    if told and bow_facts.bows(job, advice):
        bows = (f"{bow_facts.foretold(effect)} {when}" for when, effect in told.items())
        yield f"  bow out of plane (middle of the heel over its ends): {'; '.join(bows)}"
    turned = {when: core.asides(effect)[1] for when, effect in told.items()}
    if any(turned.values()):
        twists = (f"{twist or 'none to see'} {when}" for when, twist in turned.items())
        yield f"  twist that comes with the work: {'; '.join(twists)}"


def counter(job: Job, advice: Advice) -> Iterator[str]:
    """Counter-work by station, as it is to be done now: half of a first guess."""
    wanted = advice.counter
    if wanted is None:
        return
    strokes, share = (wanted.strokes, "all") if wanted.known else (wanted.half, "half")
    how = f"{wanted.action} the free edge of the {wanted.where}, {wanted.bite} bite"
    what, total = f"counter-work against the {wanted.against}", wording.count(int(strokes.sum()), "stroke")
    yield f"  {what}, {share} of it: {how}, {total}"
    for count in sorted({int(m) for m in strokes if m}):
        at = np.flatnonzero(strokes == count).tolist()
        each = f"{wording.count(count, 'stroke')}{' each' * (len(at) > 1)}"
        yield f"    {each} at {wording.listed(at, job.part.sites.label)}"


def after_pass(job: Job, planned: Pass) -> str:
    """Bow and twist after a pass, or the angle turned to; nothing for a part that has none to see."""
    angles = turned_edge.angles_after(job, planned)
    told = f"turned to about {angles}" if angles else core.beside(planned)
    return f"; {told}" if told else ""


def limits(job: Job, advice: Advice) -> Iterator[str]:
    """How near the part comes to what its metal takes, and how thick its edge becomes."""
    use, most = advice.limit_use, int(advice.limit_use.share.argmax())
    when, strong = ("by now", "") if advice.next_pass is None else ("after the next pass", counted(use))
    used = f"{wording.share_used(use.share[most])} of {use.name[most]}"
    yield f"  nearest to a limit {when}: {job.part.sites.label} {most + 1}, {used}{strong}"
    for what, size, limit in wording.reach(advice):
        yield f"  {what[0].lower()}{what[1:]}, in this metal: {size}, {limit}"
    told = "; ".join(fact.value for fact in disc_facts.thickness(job, advice.thickness_then_mm))
    yield f"  thickness of the {words_of(job.part).edge} on target: {told}, by constant volume"
