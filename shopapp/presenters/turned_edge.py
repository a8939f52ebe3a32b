"""What is told of an edge that is turned up: angles that passes come to, and strokes that fold it."""

from __future__ import annotations

from math import degrees

import core
from shopapp.presenters import wording
from shopapp.presenters.pieces import Fact


def fold_facts(job: core.Job, advice: core.Advice, planned: core.Pass) -> tuple[Fact, ...]:
    """Where a pass folds, and what one stroke is there."""
    sites = job.part.sites
    where = sites.folded(planned.strokes)
    if not where:
        return ()
    response = advice.response.get((planned.action, planned.bite))
    known = response is not None and response.known
    turn = job.fold_rad(planned.action, planned.bite) * (response.ratio if response and known else 1.0)
    patch = wording.size(job.tools[planned.action].patch_length_mm)
    by = (
        f"the first on a spot by about {degrees(turn):.2g}°{'' if known else ', a first guess'}, more by less"
    )
    return (
        Fact("Fold", f"{wording.listed(where, sites.label)}: strokes close on {patch} of the bend, {by}"),
    )


def angles_after(job: core.Job, planned: core.Pass) -> str:
    """Angle that a pass should leave where it strikes, "35°", "30° to 38°"; "" for a part that has none."""
    part = job.part
    if not isinstance(part, core.TurnedEdge):
        return ""
    left = [gap for gap, m in zip(planned.expected_deviation_mm, planned.strokes, strict=True) if m]
    found = sorted({round(degrees(part.tip_angle_rad(float(gap)))) for gap in left})
    ends = [f"{angle}°" for angle in (found[:1] + found[1:][-1:])]
    return " to ".join(ends)
