"""Sentences for the operator: what changed against the plan, and why."""

from __future__ import annotations

from itertools import pairwise
from math import inf, isnan, nan

import numpy as np

from core.advice import BAND, CLOSE, UNMEASURED, WITHIN, Reseat, Response, Suspect
from core.estimate.careful import turned_round
from core.jobtypes import Job
from core.kinds.base import FoldedByTool, Sites, TurnedEdge
from core.planned import Pass
from core.units import format_angle, format_band, format_length, format_limit

WIDER = 0.05  # of a gap, that a pass widens it and not a word is said


def reasons_for(
    job: Job,
    verdict: str,
    last: tuple[str, str] | None,
    response: dict[tuple[str, str], Response],
    before: tuple[Pass, ...],
    now: tuple[Pass, ...],
    suspects: tuple[Suspect, ...],
    reseat: Reseat | None,
    widest_mm: float = nan,
    barred: bool = False,
    begun: bool = False,
) -> tuple[str, ...]:
    """In the order of weight: doubtful readings, seating, response, the plan, what is close.

    last : action and bite of the pass last read, None before any; before : the plan as it was before
    the last round; now : as it is; verdict, widest_mm : without the suspects; NaN where no gap is known;
    barred : whether limits of the metal, which have a sentence of their own, keep it from its tolerance;
    begun : whether anything was done or read.
    """
    said = [
        f"As reckoned the widest gap is {format_length(widest_mm)}, within the tolerance before a gap is "
        "read: see that line and unit are right, and read the gaps before any pass."
        for _ in now[:1]
        if not begun and verdict == UNMEASURED and widest_mm <= job.tolerance_mm
    ]
    said += [_about_suspect(job, suspect) for suspect in suspects]
    if verdict == WITHIN and suspects:
        without, they = ("it", "it is") if len(suspects) == 1 else ("them", "they are")
        said.append(
            f"Without {without} the part is within its tolerance; that counts once {they} read again or "
            "confirmed."
        )
    if reseat is not None:
        said.append(_about_seating(reseat, job.tolerance_mm))
    if last is not None:
        said.extend(_about_response(job.part.sites, response[last]))
    if verdict != WITHIN:
        said.extend(_about_change(job, before, now, widest_mm))
        said.extend(_about_order(job, now))
        said.extend(_about_holding_back(job, now))
        said.extend(_about_widening(job.part.sites, widest_mm, now))
        said.extend(_about_the_end(job.tolerance_mm, now, barred))
    if verdict == CLOSE:
        said.append(
            "The widest gap is too near the tolerance for this gauge; read the widest places again, "
            "or with a finer gauge."
        )
    if verdict != WITHIN and not now and not barred:
        said.append("No whole stroke of any bite would bring the part nearer to its template.")
    return tuple(said)


def _about_seating(reseat: Reseat, tolerance_mm: float) -> str:
    """Why gaps wider than the tolerance, up to twice as wide on one side, may be within."""
    said = (
        f"The template is not seated at its best: seated again, the widest gap would be "
        f"{reseat.gap_then_mm:.2f} mm."
    )
    if isnan(reseat.gap_now_mm):
        return said
    return (
        f"{said} As it sits it shows up to {reseat.gap_now_mm:.2f} mm, more than the tolerance of "
        f"{format_limit(tolerance_mm)}; but what moving the template takes away is no fault of the part's "
        "shape, so that the verdict goes by its best seating."
    )


def _where(suspect: Suspect) -> str:
    """The meridian of a reading, where it has one."""
    return "" if suspect.at_deg is None else f" on the meridian at {suspect.at_deg:g}°"


def _about_suspect(job: Job, s: Suspect) -> str:
    read = f"{'beyond ' if s.beyond else ''}{s.read_mm:.2f} mm"
    expected = format_band(s.expected_mm, s.sd_mm, touching=job.template.rigid)
    return (
        f"{job.part.sites.label.capitalize()} {s.station + 1}{_where(s)} reads {read} where everything else "
        f"says {expected}{_but_for_its_sign(s)}; it is left out until it is read again or confirmed."
    )


def _but_for_its_sign(suspect: Suspect) -> str:
    fits = not suspect.beyond and turned_round(suspect.read_mm, suspect.expected_mm, suspect.sd_mm)
    return ", where the other sign would fit" if fits else ""


def _about_response(sites: Sites, response: Response) -> list[str]:
    off = response.ratio - 1.0
    folds = response.action not in sites.words(response.action)
    which = f"The {response.bite} bite, {sites.doing(response.action)}," if folds else ""
    which = which or f"The {response.bite} {response.action} bite"
    if response.as_expected:
        return [f"{which} does what was expected of it ({response})."]
    more = "more" if off > 0 else "less"
    return [f"{which} does {abs(off) * 100:.0f} % {more} than expected ({response})."]


def _about_change(job: Job, before: tuple[Pass, ...], now: tuple[Pass, ...], widest_mm: float) -> list[str]:
    """before : planned ahead of the last readings; now : planned after them."""
    label = job.part.sites.label
    if not before or not now:
        return []
    first, was = now[0], before[0]
    if first.action != was.action:
        sites = job.part.sites
        is_to, not_to = (sites.done_by(p.action, p.strokes) for p in (first, was))
        return [
            f"The next pass is to {is_to}, not to {not_to} as planned: the readings leave "
            f"{sites.doing(first.action, first.strokes)} to do {_places(label, first)}"
            f"{_and_after(sites, now)}."
        ]
    if first.bite != was.bite:
        return [_other_bite(job, first, was, widest_mm)]
    change = first.total - was.total
    if abs(change) > max(2, 0.1 * was.total):
        more = "more" if change > 0 else "fewer"
        return [f"The next pass has {_strokes(first.total)}, {abs(change)} {more} than planned."]
    return []


def _other_bite(job: Job, first: Pass, was: Pass, widest_mm: float) -> str:
    """Lighter strokes are counted more finely, heavier ones are fewer."""
    bites = job.tools[first.action].bites
    lighter = bites[first.bite] < bites[was.bite]
    left = "what is left" if isnan(widest_mm) else f"the {format_length(widest_mm)} that are left"
    why = f"lighter strokes come closer to {left}" if lighter else f"fewer strokes do for {left}"
    leaves = f"{_strokes(first.total)} should leave {format_length(first.expected_gap_mm)}"
    return f"The next pass takes the {first.bite} bite instead of the {was.bite} one: {why}; {leaves}."


def _and_after(sites: Sites, now: tuple[Pass, ...]) -> str:
    other = _other(now)
    return f", before the {sites.doing(other.action, other.strokes)}" if other else ", and nothing else"


def _no_farther(job: Job) -> str:
    """How far sites may stand apart in the meantime, where something says so."""
    part = job.part
    if not isinstance(part, TurnedEdge):
        return ""
    takes = job.limits.since_soft(softened=False).strain
    step, held = part.apart_rad(takes), part.apart_rad(inf)
    why = "as the twist between them stretches its edge"
    by = f"{why} (common practice, no source)" if step >= held else f"{why} as far as the metal takes"
    return f", so that no {part.sites.label} stands more than {format_angle(step, 0)} above the next, {by}"


def _about_order(job: Job, now: tuple[Pass, ...]) -> list[str]:
    """Where the part needs both actions: which comes first, where, and why not both at once."""
    sites, later = job.part.sites, _other(now)
    if later is None:
        return []
    first, label = now[0], sites.label
    in_turns = sum(one.action != other.action for one, other in pairwise(now)) > 1
    why = f" They take turns{_no_farther(job)}."
    return [
        f"The part needs both actions, and one tool does one of them: "
        f"{sites.doing(first.action, first.strokes)} {_places(label, first)} comes first, "
        f"{sites.doing(later.action, later.strokes)} {_places(label, later)} after it.{why * in_turns}"
    ]


def _about_holding_back(job: Job, now: tuple[Pass, ...]) -> list[str]:
    """Why a pass does not do all that its action has to do, where no limit of the metal says so."""
    if not now or now[0].held or isnan(now[0].overshoot_risk):
        return []
    action, sites = now[0].action, job.part.sites
    if not any(p.action == action for p in now[1:]):
        return []
    part = job.part
    if isinstance(part, FoldedByTool) and action not in sites.words(action, now[0].strokes):
        step = format_angle(part.fold_per_pass_rad, 0)
        return [
            f"The next pass folds no more than about {step} on purpose: what a stroke folds is read before "
            "much is folded."
        ]
    other = "stretch" if action == "shrink" else "shrink"
    does, undoes = (sites.doing(a, now[0].strokes) for a in (action, other))
    back = f"stays, for no bite at hand does the {undoes}."
    if job.bites(other):
        chance = f"{100.0 * job.overshoot_risk:.2g} %"
        back = f"has to be taken back by {undoes}. The chance of that is kept to {chance}."
    return [
        f"The next pass leaves some of the {does} to a later one on purpose: its strokes may do "
        f"more than is expected of them, and what is overdone {back}"
    ]


def _about_widening(sites: Sites, widest_mm: float, now: tuple[Pass, ...]) -> list[str]:
    """The first pass of the plan that leaves a wider gap than it finds, and what makes up for it."""
    found_mm = (widest_mm, *(p.expected_gap_mm for p in now))
    for k, (planned, gap_mm) in enumerate(zip(now, found_mm, strict=False)):
        if not planned.expected_gap_mm > (1.0 + WIDER) * gap_mm:  # NaN where it is not known
            continue
        done = sites.done_by(planned.action, planned.strokes)
        which = "The next pass" if k == 0 else f"A later pass ({done}, {_strokes(planned.total)})"
        grows = f"from {format_length(gap_mm)} to about {format_length(planned.expected_gap_mm)}"
        return [f"{which} widens the gap on the way, {grows}: {_why_wider(sites, now[k:])}."]
    return []


def _why_wider(sites: Sites, ahead: tuple[Pass, ...]) -> str:
    """ahead : the pass that widens the gap and those after it."""
    other, last = _other(ahead), format_length(ahead[-1].expected_gap_mm)
    if other is not None:
        hidden, by = (f"the {sites.doing(p.action, p.strokes)} still to do" for p in (other, ahead[0]))
        until = f"shows in full until it is done; then about {last} is left"
        return f"{hidden} was partly hidden by {by}, and {until}"
    return (
        f"the passes after it bring it to about {last}" if len(ahead) > 1 else "no pass after it is planned"
    )


def _about_the_end(tolerance_mm: float, now: tuple[Pass, ...], barred: bool) -> list[str]:
    """A plan that does not arrive says so."""
    if not now or now[-1].expected_gap_mm <= tolerance_mm:
        return []
    end = now[-1]
    left = format_band(end.expected_gap_mm, end.expected_gap_sd_mm)
    outside = f"This plan ends at {left}, outside the tolerance of {format_limit(tolerance_mm)}"
    if barred:
        return [f"{outside}."]
    sure = end.expected_gap_mm - BAND * end.expected_gap_sd_mm > tolerance_mm
    return [
        f"{outside}: more passes than these {'will' if sure else 'may'} be needed; they are planned anew "
        "after every round of gaps."
    ]


def _other(passes: tuple[Pass, ...]) -> Pass | None:
    """The first pass of the action that follows that of the first pass, if another one does."""
    return next((p for p in passes if p.action != passes[0].action), None)


def _places(label: str, planned: Pass) -> str:
    """Where a pass has strokes, counted from 1: "at station 7", "at stations 1 to 10"."""
    struck = np.flatnonzero(planned.strokes) + 1
    if len(struck) == 1:
        return f"at {label} {struck[0]}"
    if struck[-1] - struck[0] + 1 == len(struck):
        return f"at {label}s {struck[0]} to {struck[-1]}"
    return f"between {label}s {struck[0]} and {struck[-1]}"


def _strokes(count: int) -> str:
    return f"{count} stroke" if count == 1 else f"{count} strokes"
