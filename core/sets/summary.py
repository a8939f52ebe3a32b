"""A set as it stands: its parts side by side, charts of gap and response, capability, the next part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from math import exp, isfinite, log, nan
from typing import Any

import numpy as np

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
from core.sets.outlook import SetOutlook, bare, set_outlook
from core.sets.parts import SetPart


@dataclass(frozen=True)
class SetChart:
    """Values in the order of the parts. at : index of the part of each; first : index among the values since
    which the limits hold; chart : of the values since then, None for too few"""

    values: tuple[float, ...]
    at: tuple[int, ...]
    first: int
    chart: IndividualsChart | None


@dataclass(frozen=True)
class SetSummary:
    """parts : as given; response : what each part did against the first guess of as many strokes, 1 alike,
    NaN where it told nothing; outlook : for the next part; gaps : chart of the final gap, mm, of finished parts;
    responses : chart of the response; capability : Cpk of the final gap against the
    tolerance, None where too few parts say nothing; sentences : on charts, capability and outlook"""

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
    begun = max((i for i, step in enumerate(outlook.steps) if step.change), default=0)
    gaps = _charted([part.gap_mm if part.finished else nan for part in parts], 0)
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
        "next": {"seen": [asdict(seen) for seen in summary.outlook.seen]},
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
    rows = [model.alone(seen.action, seen.bite, seen.strokes) for seen in told]
    away = [log(s.ratio * s.strokes) - float(row @ model.mean) for s, row in zip(told, rows, strict=True)]
    return exp(float(np.average(away, weights=[seen.sd**-2 for seen in told])))


def _charted(values: Sequence[float], begun: int) -> SetChart:
    """begun : index of the part since which the limits are to hold."""
    known = [(i, value) for i, value in enumerate(values) if isfinite(value)]
    first = sum(i < begun for i, _ in known)
    found = tuple(value for _, value in known)
    return SetChart(found, tuple(i for i, _ in known), first, individuals_chart(found[first:]))


def _signals(what: str, charted: SetChart, parts: Sequence[PartDone]) -> tuple[str, ...]:
    if charted.chart is None:
        lacks = FEWEST_FOR_LIMITS - len(charted.values) + charted.first
        return (f"{what}: no limits yet, {lacks} more {'part' if lacks == 1 else 'parts'} wanted.",)
    if not charted.chart.signals:
        return (f"{what}: the chart shows no signal.",)
    return tuple(
        f"{what}, {parts[charted.at[charted.first + one.at]].name}: {one.words}."
        for one in charted.chart.signals
    )


def _capable(found: Capability | None, gaps: SetChart) -> tuple[str, ...]:
    if found is None:
        many = len(gaps.values)
        lacks = FEWEST_FOR_CAPABILITY - many
        why = f"{lacks} more wanted" if lacks > 0 else "their gaps are all alike"
        return (
            f"Capability: {many} finished {'part says' if many == 1 else 'parts say'} nothing yet, {why}.",
        )
    steady = (
        ""
        if gaps.chart is None or not gaps.chart.signals
        else (" The chart of the gap shows a signal: the figure is of no steady work.")
    )
    return (
        f"Capability against the tolerance: Cpk {found.cpk:.2f}, 95 times in 100 between {found.low:.2f} "
        f"and {found.high:.2f}, from {found.parts} parts. Work on a part ends when it is within, so that its "
        f"gap is not normal: a rough figure.{steady}",
    )


def _chart_document(charted: SetChart) -> dict[str, Any]:
    chart = charted.chart
    return {
        "values": list(charted.values),
        "parts": list(charted.at),
        "first": charted.first,
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
