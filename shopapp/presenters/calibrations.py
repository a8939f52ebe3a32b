"""Whether the gauges in hand are calibrated today: as the shop keeps them now, else as the job has them."""

from __future__ import annotations

from typing import Any

import core
from shopapp.presenters import belongings, rounds, wording
from shopapp.presenters.session import Session


def of(session: Session, name: str, own: core.Calibration | None = None) -> core.Calibration | None:
    """The calibration of a gauge. own : as the job was set up with it; a later one of the shop's counts."""
    return belongings.gauges(session).calibration(name) or own


def warning(session: Session, name: str, own: core.Calibration | None = None) -> str:
    """A sentence where the calibration of a gauge is past, else ""."""
    held = of(session, name, own)
    if held is None or not held.is_past(session.now().date()):
        return ""
    return f"{wording.capital(name)}: its calibration is past since {held.due}"


def words(session: Session, name: str) -> tuple[str, bool]:
    """Of a gauge of the shop's, whether and until when it is calibrated; and whether that is past."""
    held = belongings.gauges(session).calibration(name)
    if held is None:
        return "no calibration noted", False
    if held.due is None:
        return f"calibrated {held.day}", False
    past = held.is_past(session.now().date())
    return f"calibration past since {held.due}" if past else f"calibrated until {held.due}", past


def logged(held: core.Calibration | None) -> dict[str, str]:
    """What an event says of it: the day, and the last on which it holds."""
    if held is None:
        return {}
    due = {} if held.due is None else {"calibration_due": held.due.isoformat()}
    return {"calibrated": held.day.isoformat(), **due}


def past(session: Session) -> tuple[str, ...]:
    """Warnings for the gauges of this part: those of its last round of gaps, and those of its checks."""
    job = session.job
    gauges: dict[str, core.Calibration | None] = {}
    for used in rounds.open_round(session.live).gauges.values() or [None]:
        gauge = job.gauge if used is None else core.gauge_from(used)
        gauges[gauge.name] = gauge.calibration
    results: tuple[Any, ...] = core.check_results(job, session.live)
    for result in results:
        if result.due:
            gauges.setdefault(result.check.gauge, result.check.calibration)
    warnings = (warning(session, name, own) for name, own in gauges.items())
    return tuple(text for text in warnings if text)
