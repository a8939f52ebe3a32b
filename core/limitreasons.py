"""Sentences for the operator: which limits of the metal hold the passes back, where, and what helps."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.advice import DOING, WITHIN, Pass
from core.estimate.fit import Fit
from core.estimate.response import SIGN, Stroking
from core.jobtypes import Job
from core.limits import Limit

Array = NDArray[np.float64]
NEARLY = 0.9  # of a limit: with another stroke the plan would be at it, for it goes by the largest response
SPENT = 0.5  # of what a stroke did on soft metal, below which an anneal is worth a sentence


def limit_reasons(job: Job, fitted: Fit, passes: tuple[Pass, ...], verdict: str) -> tuple[str, ...]:
    """What the limits have to do with these passes, next first."""
    if verdict == WITHIN:
        return ()
    said = [*_about_folding(job, passes), *_about_anneal(job, passes)]
    if not passes:
        said += _about_used_up(job, fitted)
    else:
        said += [_about_hold(job, limit, sites) for limit, sites in _held(job, fitted, passes).items()]
        if not any(p.anneal_first for p in passes):
            said += _about_hardening(job, fitted)
    return tuple(said)


def _about_folding(job: Job, passes: tuple[Pass, ...]) -> list[str]:
    limit, one = job.limits.shrink_per_stroke, job.tool.strain_per_stroke
    left = job.limits.bites("shrink", job.tool.bites, one)
    out = [name for name in job.tool.bites if name not in left]
    wanted = not passes or any(p.action == "shrink" for p in passes)
    if not out or not wanted or "shrink" not in job.tool.actions:
        return []
    if not left:
        return [f"No bite of this tool is light enough to shrink with: {limit}."]
    bites = "bite is" if len(out) == 1 else "bites are"
    return [f"The {' and '.join(out)} {bites} left out of shrinking: {limit}."]


def _about_anneal(job: Job, passes: tuple[Pass, ...]) -> list[str]:
    first = next((k for k, p in enumerate(passes) if p.anneal_first), None)
    if first is None:
        return []
    which = "The next pass wants" if first == 0 else f"Pass {first + 1} of those still planned wants"
    return [f"{which} soft metal, so anneal before it: {job.limits.stretch_since_anneal}. {_how(job)}"]


def _held(job: Job, fitted: Fit, passes: tuple[Pass, ...]) -> dict[Limit, list[int]]:
    """Sites whose count in the next pass is all that a limit lets it be while another pass follows."""
    first = passes[0]
    again = sum(p.strokes for p in passes[1:] if p.action == first.action)
    edge, hardened = fitted.edge, fitted.strain
    if first.anneal_first:
        edge, hardened = edge.annealed(), np.zeros(fitted.sites)
    more = Stroking(first.action, first.bite, first.strokes.astype(np.float64) + 1.0, hardened)
    strain = fitted.strain_at_most(job, more)
    full = (first.strokes > 0) & (again > 0) & (strain > NEARLY * job.limits.room(first.action, edge))
    held: dict[Limit, list[int]] = {}
    for site in np.flatnonzero(full):
        held.setdefault(job.limits.binding(first.action, edge)[site], []).append(int(site))
    return held


def _about_used_up(job: Job, fitted: Fit) -> list[str]:
    """Sites that may have nothing more of one action."""
    said = []
    for action in SIGN:
        full = [int(i) for i in np.flatnonzero(job.limits.room(action, fitted.edge) <= 0.0)]
        if full:
            where = sites_named(job.part.sites.label, full)
            limit = job.limits.binding(action, fitted.edge)[full[0]]
            said.append(f"The metal takes no more {DOING[action]} at {where}: {limit}.")
    return said


def _about_hold(job: Job, limit: Limit, sites: list[int]) -> str:
    verb = "takes" if len(sites) == 1 else "take"
    return (
        f"{sites_named(job.part.sites.label, sites).capitalize()} {verb} no more strokes in the next pass: "
        f"{limit}."
    )


def _about_hardening(job: Job, fitted: Fit) -> list[str]:
    hardening, since = fitted.belief.mean[-1], fitted.strain
    left = float(np.exp(-max(hardening, 0.0) * since.max(initial=0.0)))
    if left >= SPENT:
        return []
    where = sites_named(job.part.sites.label, [int(np.argmax(since))])
    return [
        f"The edge has hardened: at {where} a stroke does about {100 * left:.0f} % of what it did on soft "
        f"metal. An anneal would give that back. {_how(job)}"
    ]


def _how(job: Job) -> str:
    heat = job.metal.figure("annealing")
    if heat is None:
        return f"How {job.metal.name} is annealed is not known here: ask its supplier."
    return (
        f"For {job.metal.name}: {heat.low:.0f} to {heat.high:.0f} °C, {job.metal.how} ({heat.source}); "
        "follow the supplier's own instructions."
    )


def sites_named(label: str, sites: list[int]) -> str:
    """Sites counted from 1: "station 7", "stations 1 to 10", "stations 1, 4 and 7"."""
    shown = [str(site + 1) for site in sites]
    if len(shown) == 1:
        return f"{label} {shown[0]}"
    if sites[-1] - sites[0] + 1 == len(sites):
        return f"{label}s {shown[0]} to {shown[-1]}"
    if len(shown) <= 4:
        return f"{label}s {', '.join(shown[:-1])} and {shown[-1]}"
    return f"{len(shown)} {label}s between {shown[0]} and {shown[-1]}"
