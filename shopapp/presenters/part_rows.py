"""The list of passes of a part: those done, the next one, those planned; smoothing and steps between them."""

from __future__ import annotations

from dataclasses import replace
from math import nan
from typing import Any

import numpy as np

import core
from shopapp.presenters import doing, lobe_views, rounds, stayed, steps, turned_edge, verdicts, wording
from shopapp.presenters.pieces import PLAIN
from shopapp.presenters.views import PassRow

Event = dict[str, Any]


def rows(standing: steps.Standing) -> tuple[PassRow, ...]:
    """All strokes done, then those planned, next first; what the last reading changed is marked."""
    history = () if standing.advice is None else standing.advice.gap_history_mm
    plans = iter(rounds.plans(standing.live))
    listed: list[PassRow] = []
    done, job = 0, standing.job
    for event in standing.live:
        if event["event"] == "pass_done":
            listed.append(_done(standing, done, event, next(plans), history))
            done += 1
        elif event["event"] == "smoothed":
            listed.append(
                _smoothed(event["bite"], job.strokes_in_all(job.smoother, event["strokes"]), "done")
            )
        elif event["event"] == "counter_done":
            listed.append(_countered(event))
        elif event["event"] == "rounded":
            listed.append(_rounded(job, event, "done"))
    if standing.advice is None or standing.closed:
        return tuple(listed)
    unfit = steps.misfits(standing)
    step = steps.rounding(standing.advice)
    if step is not None:
        planned = core.rounded(step.action, step.lobes, step.at_deg, step.strokes, step.bite)
        takes = f"takes {lobe_views.takes(step)} off the lobes"
        row = _rounded(job, planned, "next", takes)
        listed.append(_once_it_fits(row) if unfit else row)
    for i, planned in enumerate(standing.advice.remaining):
        expected = lobe_views.expected(planned, step)
        row = _planned(job, done + i + 1, planned, standing.advice.before, i, expected)
        listed.append(_once_it_fits(row) if unfit else row)
    wanted = standing.advice.smoothing
    if wanted is not None:
        status = "next" if wanted.due and not unfit else "planned"
        what = "face" if wanted.change_face else "tool"
        change = "" if wanted.change_minutes is None else f"change the {what} first; "
        listed.append(_smoothed(wanted.bite, wanted.total, status, f"{change}then the gaps are read again"))
    return tuple(listed)


def _smoothed(bite: str, strokes: int, status: str, note: str = "") -> PassRow:
    """Smoothing has no number among the passes, and no gap is expected of it."""
    return PassRow(None, status, wording.SMOOTH, "", bite, str(strokes), "", "", PLAIN, note=note)


def _rounded(job: core.Job, event: Event, status: str, note: str = "") -> PassRow:
    """A step against lobes is no pass either."""
    word, arrows = lobe_views.word(event["action"], event["lobes"]), wording.ARROWS[event["action"]]
    strokes = str(lobe_views.in_all(job, event["action"], event["strokes"]))
    return PassRow(None, status, word, arrows, event["bite"], strokes, "", "", PLAIN, note=note)


def _countered(event: Event) -> PassRow:
    """Counter-work has no number among the passes either: it is there for the bow."""
    word, arrows, strokes = wording.COUNTER, wording.ARROWS[event["action"]], sum(event["strokes"])
    return PassRow(None, "done", word, arrows, event["bite"], str(strokes), "", "", PLAIN)


def _done(
    standing: steps.Standing, k: int, event: Event, planned: Event, history: tuple[float, ...]
) -> PassRow:
    sites = standing.job.part.sites
    gap = history[k] if k < len(history) else float("nan")
    as_shown = bool(planned.get("as_shown"))
    told = (core.beside(_aside(planned)) if as_shown else "", stayed.of_pass(standing, k + 1))
    return PassRow(
        number=k + 1,
        status="done",
        action=doing.done_by(sites, event["action"], event["strokes"]),
        arrows=doing.sign(sites, event["action"], event["strokes"]),
        bite=event["bite"],
        strokes=str(standing.job.strokes_in_all(event["action"], event["strokes"])),
        expected=wording.band(planned["gap_mm"], planned["gap_sd_mm"]) if as_shown else "",
        was=_was(standing, k, gap),
        state=wording.state(gap, standing.job.tolerance_mm) if np.isfinite(gap) else PLAIN,
        note="done differently" if planned and not as_shown else "",
        beside="; ".join(text for text in told if text),
    )


def _was(standing: steps.Standing, k: int, gap: float) -> str:
    if np.isfinite(gap):
        after = k in rounds.read_after_steps(standing.live)
        return f"{wording.length(gap)}{' after the steps against lobes' if after else ''}"
    doubted = standing.advice is not None and standing.advice.doubts and k + 1 == standing.passes_done
    return verdicts.IN_DOUBT.lower() if doubted else "not read"


def _aside(planned: Event) -> core.OutOfPlane:
    """Bow and twist that were expected, as the log keeps them."""
    names = ("bow_mm", "bow_sd_mm", "twist_rad", "twist_sd_rad")
    return core.OutOfPlane(*(planned.get(name, nan) for name in names), planned.get("bow_side", ""))


def _planned(
    job: core.Job, number: int, planned: core.Pass, earlier: tuple[core.Pass, ...], i: int, expected: str
) -> PassRow:
    sites, angles = job.part.sites, turned_edge.angles_after(job, planned)
    was = earlier[i] if i < len(earlier) else None
    changed = bool(earlier) and (was is None or not same_pass(planned, was))
    notes = [note for note in (wording.anneal(planned),) if note]
    notes += [] if planned.change_minutes is None else ["change the tool first"]
    notes += wording.held(planned, sites.label)
    if changed:
        notes.append("new since the last reading" if was is None else f"was: {_short(sites, was)}")
    return PassRow(
        number=number,
        status="next" if i == 0 else "planned",
        action=doing.done_by(sites, planned.action, planned.strokes),
        arrows=doing.sign(sites, planned.action, planned.strokes),
        bite=planned.bite,
        strokes=str(planned.total),
        expected=expected,
        was="",
        state=PLAIN,
        changed=changed,
        note="; ".join(notes),
        beside=f"turned to about {angles}" if angles else core.beside(planned),
    )


def _once_it_fits(row: PassRow) -> PassRow:
    """No pass is the next while the part does not fit tool or machine."""
    note = "; ".join(text for text in (steps.ONCE_IT_FITS, row.note) if text)
    return replace(row, status="planned", note=note)


def same_pass(one: core.Pass, other: core.Pass) -> bool:
    """True when two planned passes ask for the same strokes."""
    return (one.action, one.bite) == (other.action, other.bite) and np.array_equal(one.strokes, other.strokes)


def _short(sites: core.Sites, planned: core.Pass) -> str:
    does = sites.done_by(planned.action, planned.strokes)
    return f"{does}, {planned.bite}, {wording.count(planned.total, 'stroke')}"
