"""The checks of a finished part as screens show them: rows with gauge, value, limit and verdict."""

from __future__ import annotations

from typing import Any

import core
from shopapp.presenters import calibrations, rounds, steps, verdicts, wording
from shopapp.presenters.pieces import OK, PLAIN, TODO
from shopapp.presenters.session import Session
from shopapp.presenters.views import CheckRow

NOT_SMOOTHED = "not smoothed yet"
STATES = {**verdicts.CHECKED, **dict.fromkeys(("does not apply", "noted", "not due"), PLAIN)}
MISSING = ("not read", "not measured")
BAD = ("outside", "too close to call", NOT_SMOOTHED)


def rows_of(session: Session) -> tuple[CheckRow, ...]:
    """The gaps, faces that stay in sight, and every check of the job, as the log leaves them now."""
    smooth = () if session.job.finish != "visible" else (smoothing_row(session),)
    results = core.check_results(session.job, session.live)
    return (gaps_row(session), *smooth, *(check_row(result) for result in results))


def check_row(result: core.CheckResult) -> CheckRow:
    """One check as it was read, or not."""
    check = result.check
    return CheckRow(
        name=check.name,
        label=check.label,
        gauge=check.gauge,
        value=value_text(result),
        unit="" if isinstance(result.value, str) else check.unit,
        limit=check.limit if check.sampling == "every part" else f"{check.limit}, {check.sampled}",
        verdict=result.verdict,
        state=STATES.get(result.verdict, TODO),
        photo=str((result.event or {}).get("photo", "")),
    )


def value_text(result: core.CheckResult) -> str:
    """A logged value with the 95 % band of its gauge, "0.6 ± 0.2"; words as they are; "" where not read."""
    value, check = result.value, result.check
    if value is None or isinstance(value, str):
        return value or ""
    return f"{check.shown(value)} ± {check.shown(wording.Z95 * result.sd)}"


def gaps_row(session: Session) -> CheckRow:
    """The gaps as the refit judges them; read after the last pass, or not read at all."""
    job = session.job
    known = None if rounds.unread_pass(session.live) else steps.measured(session.advice)
    verdict = "not read" if known is None else known.verdict
    return CheckRow(
        name="gaps",
        label=wording.gaps_to(job.template.name),
        gauge=job.gauge.name,
        value="" if known is None else steps.widest_text(known),
        unit="",
        limit=f"at most {wording.limit(job.tolerance_mm)}",
        verdict=verdict,
        state=STATES.get(verdict, TODO),
        editable=False,
    )


def smoothing_row(session: Session) -> CheckRow:
    """Whether faces that stay in sight were smoothed since the last strokes that formed the part."""
    done = rounds.smoothed(session.live)
    return CheckRow(
        name="smoothing",
        label="Faces that stay in sight",
        gauge="eye",
        value="",
        unit="",
        limit="smoothed after the last pass",
        verdict="smoothed" if done else NOT_SMOOTHED,
        state=OK if done else TODO,
        editable=False,
    )


def reading(session: Session, check: core.Check, value: float | str, photo: str) -> dict[str, Any]:
    """The event of a check: the value with gauge, limits and uncertainty as they were held against it."""
    more: dict[str, Any] = {"unit": check.unit, "gauge": check.gauge, "limit": check.limit, "sd": check.sd}
    if photo:
        more["photo"] = photo
    held = calibrations.of(session, check.gauge, check.calibration)
    return core.check_read(check.name, value, **more, **calibrations.logged(held))


def against(rows: tuple[CheckRow, ...], concession: str) -> str:
    """The first thing in the rows that stands against signing off and how many more, "" for nothing."""
    missing = [row for row in rows if row.verdict in MISSING]
    if missing:
        return f"{missing[0].label}: not read yet{_more(len(missing))}"
    bad = [row for row in rows if row.verdict in BAD]
    if bad and not concession.strip():
        return f"{bad[0].label}: {bad[0].verdict}{_more(len(bad))}. Sign-off needs a written concession"
    return ""


def _more(count: int) -> str:
    return f", and {count - 1} more" if count > 1 else ""
