"""A set as it stands: its parts side by side, charts of gap and response, capability, the next part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from math import exp, isfinite, log, nan
from typing import Any

import numpy as np

from core.answers import against_as_many
from core.charts import (
    FEWEST_FOR_CAPABILITY,
    FEWEST_FOR_LIMITS,
    Capability,
    IndividualsChart,
    capability,
    individuals_chart,
)
from core.estimate.response import ResponseModel
from core.jobtypes import Job
from core.sets.done import PartDone
from core.sets.outlook import SetOutlook, set_outlook
from core.sets.parts import SetPart, bare


@dataclass(frozen=True)
class SetChart:
    """Values in the order of the parts. at : index of the part of each; first, end : indices among the values
    between which the limits hold (the last stretch of one batch that is long enough); chart : of the values
    in it, None for too few"""

    values: tuple[float, ...]
    at: tuple[int, ...]
    first: int
    end: int
    chart: IndividualsChart | None


@dataclass(frozen=True)
class SetSummary:
    """parts : as given; response : what each part did against the first guess of as many strokes, 1 alike,
    NaN where it told nothing; outlook : for the next part; gaps : chart of the final gap, mm, of finished
    parts; responses : chart of the response; capability : Cpk of the final gap against the tolerance, None
    where too few parts say nothing; sentences : on charts, capability and outlook"""

    parts: tuple[PartDone, ...]
    response: tuple[float, ...]
    outlook: SetOutlook
    gaps: SetChart
    responses: SetChart
    capability: Capability | None
    sentences: tuple[str, ...]


def set_summary(job: Job, parts: Sequence[PartDone], batch_begun: bool = False) -> SetSummary:
    """The set of these parts, in their order.

    job : of the set, with what its first part started from; batch_begun : as for
    :func:`core.sets.outlook.set_outlook`. A part in work counts as far as it told something.
    """
    outlook = set_outlook(job, [part.told for part in parts], batch_begun)
    action = _mostly(parts)
    response = tuple(_response(job, part.told, action) for part in parts)
    begun = [i for i, step in enumerate(outlook.steps) if step.change]
    gaps = _charted([part.gap_mm if part.finished else nan for part in parts], [])
    answers = _charted(list(response), begun)
    capable = capability(list(gaps.values), upper=job.tolerance_mm)
    said = (
        *_signals("Final gap", gaps, parts),
        *_signals("Response", answers, parts),
        *_capable(capable, gaps),
    )
    return SetSummary(tuple(parts), response, outlook, gaps, answers, capable, (*outlook.sentences, *said))


def set_document(summary: SetSummary) -> dict[str, Any]:
    """JSON-ready: every field under its own name; what is not known (NaN) is null, indices count from 0."""
    chances = summary.capability
    return {
        "parts": [
            part.document | {"strokes": part.strokes, "response": _plain(response)}
            for part, response in zip(summary.parts, summary.response, strict=True)
        ],
        "gaps": _chart_document(summary.gaps),
        "responses": _chart_document(summary.responses),
        "capability": None if chances is None else asdict(chances),
        "next": {
            "seen": [asdict(seen) for seen in summary.outlook.seen],
            "shared": None if summary.outlook.shared is None else asdict(summary.outlook.shared),
        },
        "own_sd": summary.outlook.own_sd,
        "drift_sd": summary.outlook.drift_sd,
        "changes": [
            {"part": i, "change": step.change, "step": step.step}
            for i, step in enumerate(summary.outlook.steps)
            if step.change
        ],
        "sentences": list(summary.sentences),
    }


def _mostly(parts: Sequence[PartDone]) -> str:
    """The action that most parts told of, so that the response is of one thing."""
    told = Counter(action for part in parts for action in {seen.action for seen in part.told.told})
    return max(sorted(told), key=lambda action: told[action], default="")


def _response(job: Job, part: SetPart, action: str) -> float:
    """Mean over the bites of an action, by how well each is told; each against as many strokes."""
    model = ResponseModel(bare(job))
    told = [seen for seen in part.told if seen.action == action]
    if not told:
        return nan
    away = [log(against_as_many(model, seen)) for seen in told]
    return exp(float(np.average(away, weights=[seen.sd**-2 for seen in told])))


def _charted(values: Sequence[float], begun: Sequence[int]) -> SetChart:
    """begun : indices of the parts with which another batch begins"""
    known = [(i, value) for i, value in enumerate(values) if isfinite(value)]
    found = tuple(value for _, value in known)
    starts = [0, *(sum(i < start for i, _ in known) for start in begun)]
    stretches = list(zip(starts, [*starts[1:], len(found)], strict=True))
    long = [(first, end) for first, end in stretches if end - first >= FEWEST_FOR_LIMITS]
    first, end = long[-1] if long else stretches[-1]
    return SetChart(found, tuple(i for i, _ in known), first, end, individuals_chart(found[first:end]))


def _signals(what: str, charted: SetChart, parts: Sequence[PartDone]) -> tuple[str, ...]:
    if charted.chart is None:
        lacks = FEWEST_FOR_LIMITS - charted.end + charted.first
        return (f"{what}: no limits yet, {lacks} more {'part' if lacks == 1 else 'parts'} wanted.",)
    of = [parts[i].name for i in charted.at[charted.first : charted.end]]
    held = "" if len(of) == len(charted.values) else f", {of[0]} to {of[-1]}"
    if not charted.chart.signals:
        return (f"{what}{held}: no part is out of line with the others.",)
    found = (f"{what}, {of[one.at]}: {one.words}; look what was different." for one in charted.chart.signals)
    return tuple(found)


def _capable(found: Capability | None, gaps: SetChart) -> tuple[str, ...]:
    if found is None:
        many = len(gaps.values)
        lacks = FEWEST_FOR_CAPABILITY - many
        why = f"{lacks} more wanted" if lacks > 0 else "their gaps are all alike"
        say = "part says" if many == 1 else "parts say"
        return (f"How surely the tolerance is held: {many} finished {say} nothing yet, {why}.",)
    uneven = gaps.chart is not None and bool(gaps.chart.signals)
    but = ", and parts that are out of line are in it" if uneven else ""
    return (
        f"How surely the tolerance is held: Cpk {found.cpk:.2f} ({found.low:.2f} to {found.high:.2f}), from "
        f"{found.parts} parts. A rough figure: work on a part ends when it is within{but}.",
    )


def _chart_document(charted: SetChart) -> dict[str, Any]:
    chart = charted.chart
    return {
        "values": list(charted.values),
        "parts": list(charted.at),
        "first": charted.first,
        "end": charted.end,
        "limits": None
        if chart is None
        else {
            "centre": chart.centre,
            "lower": chart.lower,
            "upper": chart.upper,
            "range_centre": chart.range_centre,
            "range_upper": chart.range_upper,
        },
        "signals": []
        if chart is None
        else [
            {"part": charted.at[charted.first + s.at], "test": s.test, "words": s.words}
            for s in chart.signals
        ],
    }


def _plain(value: float) -> float | None:
    return value if isfinite(value) else None
