"""The checks of a part with what was read: due or not, and the verdict with the gauge's uncertainty."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from core.advice import OutOfPlane
from core.checks import NOT_NEEDED, Check
from core.events import STRUCK, Event
from core.jobtypes import Job
from core.verdict import conforms

NOTED, NOT_READ, NOT_DUE = "noted", "not read", "not due"


@dataclass(frozen=True)
class CheckResult:
    """One check of one part.

    check : as the job has it; due : whether this part is to be checked; value : in the unit of the check, or
    a word; None while it is not read; sd : standard uncertainty of the reading; event : of the reading;
    verdict : "within", "outside", "too close to call", "noted" (no limit), "does not apply", "not read" or
    "not due"
    """

    check: Check
    due: bool
    value: float | str | None
    sd: float
    verdict: str
    event: Event | None = None

    @property
    def missing(self) -> bool:
        """Whether it is due and not read."""
        return self.due and self.verdict == NOT_READ

    @property
    def document(self) -> dict[str, Any]:
        """JSON-ready, for records and scripts: one flat mapping."""
        check, event = self.check, self.event or {}
        return {
            "name": check.name,
            "label": check.label,
            "gauge": event.get("gauge", check.gauge),
            "value": self.value,
            "unit": check.unit,
            "sd": self.sd,
            "at_least": check.low,
            "at_most": check.high,
            "limit": check.limit,
            "sampling": check.sampled,
            "due": self.due,
            "verdict": self.verdict,
            "at": event.get("at", ""),
            "who": event.get("who", ""),
            "photo": event.get("photo", ""),
            "calibrated": event.get("calibrated", ""),
            "calibration_due": event.get("calibration_due", ""),
        }


def last_checks(live: Iterable[Event]) -> dict[str, Event]:
    """The last reading of each check since the last strokes or anneal; earlier ones tell of another shape.

    live : a log as it counts.
    """
    found: dict[str, Event] = {}
    for event in live:
        if event["event"] in (*STRUCK, "annealed"):
            found = {}
        elif event["event"] == "check_read":
            found[str(event["check"])] = event
    return found


def check_results(job: Job, live: Iterable[Event]) -> tuple[CheckResult, ...]:
    """Every check of the job as this log leaves it.

    live : a log as it counts, of :func:`core.events.effective`, or what was signed (``SignOff.live``).
    """
    read = last_checks(live)
    return tuple(_result(job, check, read.get(check.name)) for check in job.checks)


def bow_result(job: Job, effect: OutOfPlane) -> CheckResult | None:
    """The bow as it is believed, held against the check that reads it; None where the job has no limit."""
    for check in job.checks:
        if check.bow and check.high is not None:
            verdict = conforms(effect.bow_mm, effect.bow_sd_mm, -check.high, check.high, job.confidence)
            return CheckResult(check, check.is_due(job.place), abs(effect.bow_mm), effect.bow_sd_mm, verdict)
    return None


def standing_against(results: Sequence[CheckResult]) -> tuple[CheckResult, ...]:
    """Those that are missing, then those that fail or cannot be told."""
    bad = tuple(r for r in results if r.verdict in ("outside", "too close to call"))
    return (*(r for r in results if r.missing), *bad)


def _result(job: Job, check: Check, event: Event | None) -> CheckResult:
    due = check.is_due(job.place)
    if event is None:
        return CheckResult(check, due, None, check.sd, NOT_READ if due else NOT_DUE)
    value, sd = event["value"], float(event.get("sd", check.sd))
    return CheckResult(check, due, value, sd, _verdict(check, value, sd, job.confidence), event)


def _verdict(check: Check, value: Any, sd: float, confidence: float) -> str:
    if value == NOT_NEEDED:
        return NOT_NEEDED
    if check.answers:
        return "within" if dict(check.answers).get(value, False) else "outside"
    if check.low is None and check.high is None:
        return NOTED
    return conforms(float(value), sd, check.low, check.high, confidence)
