"""What the parts of a set, finished one after another, say of the next one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from math import exp, log, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief
from core.estimate.response import ResponseModel
from core.jobfields import chosen
from core.jobtypes import Job
from core.nearest import starting_from
from core.seen import Seen, Shared, Told
from core.seendoc import LARGEST_RATIO, SEEN_SD
from core.sets.following import Followed, SetStep, followed
from core.sets.handed import handed_on
from core.sets.level import Reading, foretold, spreads
from core.sets.parts import SetPart, bare
from core.sets.words import set_sentences, set_source

Array = NDArray[np.float64]


@dataclass(frozen=True)
class SetOutlook:
    """The response from part to part, and what the next part starts from.

    seen : what the next job starts from in place of all else (:func:`core.nearest.starting_from`); the job's
    own where the parts tell nothing, empty where another batch begins with the next part; own_sd : of ln work
    by which a part is off by itself; drift_sd : from one part to the next; steps : one a part; begun : index
    of the part since which the response is followed; sentences : for the operator; shared : all that the
    parts told, together, of which the next job starts in place of ``seen`` (:func:`starting_from_set`); None
    where that is nothing
    """

    seen: tuple[Seen, ...]
    own_sd: float
    drift_sd: float
    steps: tuple[SetStep, ...]
    begun: int
    sentences: tuple[str, ...]
    shared: Shared | None = None


def starting_from_set(document: Mapping[str, Any], outlook: SetOutlook) -> dict[str, Any]:
    """A job document that starts from what its set told, in place of all that it started from."""
    plain = starting_from(document, () if outlook.shared else outlook.seen)
    response = {name: value for name, value in plain.get("response", {}).items() if name != "shared"}
    if outlook.shared is not None:
        response["shared"] = asdict(outlook.shared)
    rest = {name: value for name, value in plain.items() if name != "response"}
    return {**rest, "response": response} if response else rest


def set_outlook(job: Job, parts: Sequence[SetPart], batch_begun: bool = False) -> SetOutlook:
    """What the finished parts of a set say of its next part.

    job : of the set, with what its first part started from; parts : in their order, all of jobs alike;
    batch_begun : the next part is of another batch of metal. Raises InputError for a part that tells of an
    action or a bite that the job does not have.
    """
    first_guess, begun_with = (ResponseModel(one) for one in (bare(job), job))
    told = [
        (_reading(job, first_guess, part, f"parts[{i}]"), part.batch_begun) for i, part in enumerate(parts)
    ]
    start, anew = (Belief(model.mean, model.cov) for model in (begun_with, first_guess))
    course = followed(start, anew, told)
    names = [part.name for part in parts]
    seen = () if batch_begun else _seen(job, first_guess, course, parts)
    since = parts[course.begun :]
    together = bool(seen) and any(part.together is not None for part in since)
    shared = _shared(first_guess, course, set_source(names, course, job)) if together else None
    there = replace(
        bare(job), response=replace(bare(job).response, seen=() if shared else seen, shared=shared)
    )
    begun = len(parts) if batch_begun else course.begun
    sentences = set_sentences(there, names, seen, course, spreads(course.now), batch_begun)
    return SetOutlook(seen, *spreads(course.now), course.steps, begun, sentences, shared)


def _reading(job: Job, model: ResponseModel, part: SetPart, field: str) -> Reading:
    """What a part told, for the filter. Its entries share what the part was like: together they count as one,
    so that the variance of each is multiplied by their number."""
    if part.together is not None:
        return _together(model, part.together, f"{field}.together")
    for i, seen in enumerate(part.told):
        chosen(seen.action, f"{field}.told[{i}].action", job.tools)
        chosen(seen.bite, f"{field}.told[{i}].bite", job.tools[seen.action].bites)
    rows = [model.alone(seen.action, seen.bite, seen.strokes) for seen in part.told]
    return Reading(
        np.array(rows).reshape(len(rows), model.size),
        np.array([log(seen.ratio) + log(seen.strokes) for seen in part.told]),
        np.array([seen.sd**2 * len(part.told) for seen in part.told]),
    )


def _together(model: ResponseModel, told: Told, field: str) -> Reading:
    """All that a part told, as it is: independent readings of the parameters."""
    known = {name: chosen(name, f"{field}.names", model.shared) for name in told.names}
    rows = np.zeros((len(told.values), model.size))
    rows[:, [model.shared[name] for name in known]] = told.rows
    return Reading(rows, np.array(told.values), np.array(told.variance))


def _shared(model: ResponseModel, course: Followed, source: str) -> Shared:
    """What is believed of the next part, its own in it."""
    rows = np.eye(model.size)[list(model.shared.values())]
    now = foretold(course.now, rows)
    return Shared(tuple(model.shared), tuple(now.mean.tolist()), tuple(map(tuple, now.cov.tolist())), source)


def _seen(job: Job, bare: ResponseModel, course: Followed, parts: Sequence[SetPart]) -> tuple[Seen, ...]:
    """What the next part starts from, the most telling first."""
    strokes = _strokes(parts[course.begun :])
    if not strokes:
        return () if course.begun else job.response.seen
    rows = np.array([bare.alone(*pair, number) for pair, number in strokes.items()])
    prior = Belief(rows @ bare.mean, rows @ bare.cov @ rows.T)
    source = set_source([part.name for part in parts], course, job)
    found = []
    for one in handed_on(prior, foretold(course.now, rows)):
        (action, bite), number = list(strokes.items())[one.row]
        ratio, sd = exp(one.value) / number, max(sqrt(one.variance), 1.01 * SEEN_SD[0])
        if sd <= SEEN_SD[1] and ratio <= LARGEST_RATIO:
            found.append(Seen(action, bite, number, ratio, sd, source))
    return tuple(found)


def _strokes(parts: Sequence[SetPart]) -> dict[tuple[str, str], float]:
    """Strokes on a spot by action and bite, on average over the parts that tell of it."""
    numbers: dict[tuple[str, str], list[float]] = {}
    for part in parts:
        for seen in part.told:
            numbers.setdefault((seen.action, seen.bite), []).append(seen.strokes)
    return {pair: float(np.mean(found)) for pair, found in numbers.items()}
