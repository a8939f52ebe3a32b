"""Sentences for the operator: which limits of the metal hold the passes back, where, and what helps."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan

import numpy as np
from numpy.typing import NDArray

from core.advice import DOING, WITHIN
from core.estimate.fit import Fit
from core.estimate.response import SIGN, Stroking
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians, Sites
from core.limits import COMMON, WEAK, Held, Limit
from core.planned import Pass

Array = NDArray[np.float64]
Used = dict[tuple[str, Limit], list[int]]
PIECES = 4  # in which sites are named one by one


def limit_reasons(
    job: Job, fitted: Fit, passes: tuple[Pass, ...], verdict: str, used: Used
) -> tuple[str, ...]:
    """What the limits have to do with these passes, next first; used : see :func:`used_up`."""
    if verdict == WITHIN:
        return ()
    said = [*_about_folding(job, passes), *_about_anneal(job, passes)]
    said += _about_used_up(job, used)
    if passes:
        said += [_about_hold(job, held) for held in passes[0].held]
        if not any(p.anneal_first for p in passes):
            said += _about_hardening(job, fitted)
    return tuple(said)


def used_up(job: Job, fitted: Fit, passes: tuple[Pass, ...]) -> Used:
    """Sites that want more strokes once these passes are done and may not have another, an anneal or not, by
    action and limit; empty where the plan ends within the tolerance."""
    if passes and passes[-1].expected_gap_mm <= job.tolerance_mm:
        return {}
    edge, hardened, work = fitted.edge, fitted.strain, fitted.belief.mean[: fitted.sites].copy()
    for planned in passes:
        if planned.anneal_first:
            edge, hardened = edge.annealed(), np.zeros(fitted.sites)
        stroking = Stroking(planned.action, planned.bite, planned.strokes.astype(np.float64), hardened)
        done = fitted.model.work(stroking, fitted.belief.mean[fitted.sites :])[0]
        work -= SIGN[planned.action] * done
        edge = planned.edge or edge.after(planned.action, job.under[planned.action].edge_strain(done))
        hardened = hardened + fitted.model.strain(planned.action, planned.bite, stroking.strokes)
    found: Used = {}
    for action, bite in _gentlest(job).items():
        one = Stroking(action, bite, np.ones(fitted.sites), hardened)
        does = fitted.model.work(one, fitted.belief.mean[fitted.sites :])[0]
        had = edge.annealed() if job.limits.gives_room(action) else edge
        adds, log_sd = fitted.strains(job, one)
        full = job.limits.room(action, had, log_sd) < adds
        binding = job.limits.binding(action, had, log_sd)
        for site in np.flatnonzero(full & (SIGN[action] * work > does)):
            found.setdefault((action, binding[site]), []).append(int(site))
    return found


def folds_always(job: Job) -> bool:
    """Whether the part wants shrinking and the metal folds under every bite of its tool."""
    wanted = "shrink" in job.actions and bool(np.any(job.part.target > 0.0))
    return wanted and not _unfolded(job)


def _unfolded(job: Job) -> tuple[str, ...]:
    """Bites of the set that shrinks under which the metal does not fold."""
    tool = job.tools["shrink"]
    return job.limits.bites("shrink", tool.bites, tool.strain_per_stroke)


def _gentlest(job: Job) -> dict[str, str]:
    """The lightest bite that may be used for each action that has one."""
    found = {action: job.bites(action) for action in job.actions}
    return {action: bites[0] for action, bites in found.items() if bites}


def _about_folding(job: Job, passes: tuple[Pass, ...]) -> list[str]:
    limit, left = job.limits.shrink_per_stroke, _unfolded(job)
    out = [name for name in job.tools["shrink"].bites if name not in left]
    wanted = any(p.action == "shrink" for p in passes) or (not passes and np.any(job.part.target > 0.0))
    if not out or not wanted or "shrink" not in job.actions:
        return []
    if not left:
        return [f"No bite of this tool is light enough to shrink with: {limit}."]
    bites = "bite is" if len(out) == 1 else "bites are"
    return [f"The {' and '.join(out)} {bites} left out of shrinking: {limit}."]


def _about_anneal(job: Job, passes: tuple[Pass, ...]) -> list[str]:
    first = next((k for k, p in enumerate(passes) if p.hardened is not None), None)
    if first is None:
        return []
    which = "the next pass" if first == 0 else f"pass {first + 1} of those still planned"
    more = sum(p.anneal_first for p in passes) - 1
    again = f" So {'does' if more == 1 else 'do'} {more} more of those planned." if more else ""
    return [f"{_wants_anneal(job, which, passes[first])}{again} {_how(job)}"]


def _wants_anneal(job: Job, which: str, planned: Pass) -> str:
    """Why, and where: what stretching has to have, else what is only advised."""
    hardened = planned.hardened
    assert hardened is not None
    where = sites_named(job.part.sites.label, [*hardened.sites])
    if hardened.limit is None:
        share = f"a stroke does less than {100 * WEAK:.0f} % of what it did on soft metal"
        return f"{which.capitalize()} goes better on soft metal, so anneal before it: at {where} {share}."
    if planned.action == "shrink":
        return (
            f"{which.capitalize()} goes better on soft metal, so anneal before it: {where} had more than "
            f"{hardened.limit.amount}. It can be run without: strokes then do less and want more force."
        )
    return f"{which.capitalize()} wants soft metal, so anneal before it: {hardened.limit}, at {where}."


def _about_used_up(job: Job, used: Used) -> list[str]:
    """What the metal no longer takes, or no stroke is light enough for, and what would help."""
    of_a_pass = job.limits.of_one_pass
    coarse = {each: sites for each, sites in used.items() if each[1] in of_a_pass}
    spent = {each: sites for each, sites in used.items() if each[1] not in of_a_pass}
    said = []
    if spent:
        said.append(
            f"The metal is used up before the part is within its tolerance: {_no_more(job, spent)}. No "
            "further pass helps there: a larger radius, or metal that takes more, is wanted."
            f"{_other_method(job)}{_raised([limit for _, limit in spent])}"
        )
    if coarse:
        said.append(
            "One stroke, even of the lightest bite, may do more than a pass should: "
            f"{_no_more(job, coarse)}. A lighter bite is wanted.{_raised([job.limits.per_pass])}"
        )
    return said


def _no_more(job: Job, used: Used) -> str:
    label = job.part.sites.label
    each = [(DOING[action], sites_named(label, sites), limit) for (action, limit), sites in used.items()]
    return "; ".join(f"no more {doing} at {where}, {limit}" for doing, where, limit in each)


def _other_method(job: Job) -> str:
    if not isinstance(job.part, ReadOnMeridians):
        return ""
    takes = {action: job.limits.most_in_all(action).strain for action in job.actions}
    other = job.part.other_method(takes)
    return f" Another method would do, from a disc of its own: {other}." if other else ""


def _raised(limits: Sequence[Limit]) -> str:
    """Limits that are no figure of this metal may be set higher by whoever knows better."""
    names = dict.fromkeys(limit.name for limit in limits if COMMON in limit.source and not limit.own)
    if not names:
        return ""
    which = " and ".join(names)
    return f" A shop that knows its metal may set {which} itself: that one is common practice."


def _about_hold(job: Job, held: Held) -> str:
    verb, label = "takes" if len(held.sites) == 1 else "take", job.part.sites.label
    told = f"{sites_named(label, held.sites).capitalize()} {verb} no more strokes in the next pass"
    if held.limit.as_expected:
        return f"{told}: {held.limit} is planned."
    return (
        f"{told}, for the metal may give more than expected: {held.limit}. 1 time in "
        f"{1.0 / held.limit.risk:.0f} a {label} may still go beyond it."
    )


def _about_hardening(job: Job, fitted: Fit) -> list[str]:
    hardening, since = fitted.belief.mean[-1], fitted.strain
    left = float(np.exp(-max(hardening, 0.0) * since.max(initial=0.0)))
    if left >= WEAK:
        return []
    where = sites_named(job.part.sites.label, [int(np.argmax(since))])
    which = "The edge" if job.part.sites.strain == Sites.strain else "The metal"
    told = f"{which} has hardened: at {where} a stroke does about {100 * left:.0f} % of what it did at first."
    return [f"{told} An anneal would give that back. {_how(job)}" if job.limits.anneals else told]


def _how(job: Job) -> str:
    heat = job.metal.figure("annealing")
    if heat is None:
        return f"How {job.metal.name} is annealed is not known here: ask its supplier."
    ends = dict.fromkeys(f"{end:.0f}" for end in (heat.low, heat.high) if not isnan(end))
    return (
        f"For {job.metal.name}: {' to '.join(ends)} °C, {job.metal.how} ({heat.source}); "
        "follow the supplier's own instructions."
    )


def sites_named(label: str, sites: Sequence[int]) -> str:
    """Sites counted from 1: "station 7", "stations 1 to 10, 12 and 14"; of many pieces their number."""
    runs = [(at, at) for at in sites[:1]]
    for site in sites[1:]:
        first, last = runs[-1]
        runs[-1:] = [(first, site)] if site == last + 1 else [(first, last), (site, site)]
    shown = [f"{first + 1}" if first == last else f"{first + 1} to {last + 1}" for first, last in runs]
    many = label if len(sites) == 1 else f"{label}s"
    if len(shown) > PIECES:
        return f"{len(sites)} {many} between {sites[0] + 1} and {sites[-1] + 1}"
    return f"{many} {' and '.join(filter(None, (', '.join(shown[:-1]), shown[-1])))}"
