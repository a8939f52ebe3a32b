"""What stayed of a pass, and what the strokes of the next one allow for: spring-back and a weaker answer are
one figure, for readings of metal that is let go do not tell them apart."""

from __future__ import annotations

from math import isnan

import core
from shopapp.presenters import part_words
from shopapp.presenters.pieces import Fact
from shopapp.presenters.steps import Standing

WORTH_TELLING = 0.02
"""that strokes are counted for more, or less, than is to stay"""
FOLDED = ", where folded"


def last(job: core.Job, advice: core.Advice) -> tuple[Fact, ...]:
    """What stayed of the last pass; () while it is not read."""
    told = _of_pass(job, advice, advice.passes_done)
    return tuple(Fact(f"Pass {advice.passes_done}, stayed after spring-back{at}", text) for at, text in told)


def of_pass(standing: Standing, number: int) -> str:
    """The same of any pass, from 1, in a line; "" where it was not read by itself."""
    job, advice = standing.job, standing.advice
    return "" if advice is None else "; ".join(f"{text}{at}" for at, text in _of_pass(job, advice, number))


def allowed(job: core.Job, advice: core.Advice) -> tuple[Fact, ...]:
    """How much more than what is to stay the strokes of the next pass are counted for, once something was
    read."""
    times = advice.allowed_for
    if not advice.stayed or isnan(times) or abs(times - 1.0) < WORTH_TELLING:
        return ()
    stays = part_words.words_of(job.part).stays
    return (
        Fact("Strokes counted for", f"{times:.2f} times the {stays} that is to stay, by the first guess"),
    )


def _of_pass(job: core.Job, advice: core.Advice, number: int) -> list[tuple[str, str]]:
    """Where, and what stayed there: of the angles that were asked for, where an edge is turned."""
    part, told = job.part, []
    for one in advice.stayed:
        if one.number != number:
            continue
        text = f"{one} of the {part_words.words_of(part).stays}{f': {one.told}' if one.told else ' asked'}"
        folds = part.sites.folded_up(one.action)[list(one.sites)].any()
        told.append((FOLDED if folds else "", text))
    return told
