"""A record as tables: one row a pass, a count, a reading, a check. Columns end in their unit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import degrees, isfinite

from core.advice import BAND
from core.records.checks import Check
from core.records.record import Record
from core.records.work import Ahead, Planned, Work

Cell = str | int | float | None
PLANNED = "planned"
WHO = ("status", "when", "who", "replaced_by", "changed_when", "changed_by")
PASSES = (
    *("pass", "kind", "action", "bite", "ram_setting", "tool", "strokes_per_minute"),
    *(
        "planned_action",
        "planned_bite",
        "planned_strokes_in_all",
        "strokes_in_all",
        "where",
        "done_as_planned",
    ),
    *(
        "expected_widest_gap_mm",
        "expected_band_mm",
        "expected_bow_mm",
        "expected_twist_deg",
        "widest_gap_after_mm",
        "planned_minutes",
        "minutes_taken",
    ),
    *WHO,
)
STROKES = ("pass", "kind", "action", "bite", "site", "at_mm", "planned_strokes", "strokes", "status")
READINGS = (
    *("quantity", "round", "work_before", "site", "at_mm", "at_deg", "value_mm", "word", "uncertainty_mm"),
    *("gauge", "template", "confirmed", *WHO),
)
CHECKS = (
    *("check", "value", "unit", "uncertainty", "gauge", "calibration", "limit", "verdict", "photo", "latest"),
    *WHO,
)
LATER = ("entry", "what", "when", "who")


@dataclass(frozen=True)
class Table:
    """header : names of the columns; rows : as many cells each, None where nothing is known"""

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def record_tables(record: Record) -> tuple[Table, ...]:
    """All tables of a record, in a fixed order."""
    return tuple(Table(name, header, tuple(rows(record))) for name, (header, rows) in TABLES.items())


def _passes(record: Record) -> Iterator[tuple[Cell, ...]]:
    for work in record.works:
        plan = work.planned
        expected = (None,) * 2 if plan is None else (_round(plan.gap_mm), _band(plan.gap_sd_mm))
        asked = ("", "", None) if plan is None else (plan.action, plan.bite, plan.in_all)
        yield (
            *(work.number, work.kind, work.action, work.bite, work.setting, work.tool, work.rate),
            *(*asked, work.in_all, work.where, None if plan is None else _yes(plan.as_shown)),
            *(*expected, *_aside(plan), _round(work.gap_mm)),
            *(None if plan is None else _round(plan.minutes, 1), _round(work.minutes, 1)),
            *_who(work),
        )
    for ahead in record.ahead:
        yield (
            *(ahead.number, ahead.kind, "", "", ahead.setting, ahead.tool, ahead.rate),
            *(ahead.action, ahead.bite, ahead.in_all, None, "", ""),
            *(_round(ahead.gap_mm), _band(ahead.gap_sd_mm), *_aside(ahead), None),
            *(_round(ahead.minutes, 1), None),
            *(PLANNED, "", "", "", "", ""),
        )


def _aside(planned: Planned | Ahead | None) -> tuple[Cell, Cell]:
    """Bow, mm, and twist, degrees, that were expected."""
    if planned is None:
        return None, None
    twist = None if planned.twist_rad is None else degrees(planned.twist_rad)
    return _round(planned.bow_mm), _round(twist, 1)


def _strokes(record: Record) -> Iterator[tuple[Cell, ...]]:
    for work in record.works:
        planned = () if work.planned is None else work.planned.strokes
        for site, count in enumerate(work.strokes):
            asked = planned[site] if planned else None
            yield (*_head(record, work, site), asked, int(count), work.status)
    for ahead in record.ahead:
        for site, count in enumerate(ahead.strokes):
            yield (*_head(record, ahead, site), count, None, PLANNED)


def _head(record: Record, work: Work | Ahead, site: int) -> tuple[Cell, ...]:
    return work.number, work.kind, work.action, work.bite, site + 1, _round(record.position_mm[site])


def _readings(record: Record) -> Iterator[tuple[Cell, ...]]:
    for reading in record.readings:
        yield (
            *(reading.quantity, reading.round or None, reading.after),
            *(None if reading.site is None else reading.site + 1, _round(reading.at_mm), reading.at_deg),
            *(reading.value_mm, reading.word, _round(reading.sd_mm, 4), reading.gauge, reading.template),
            *(_yes(reading.confirmed), reading.status, reading.stamp.when, reading.stamp.who),
            *(reading.instead, reading.by.when, reading.by.who),
        )


def _checks(record: Record) -> Iterator[tuple[Cell, ...]]:
    """The gaps are a check too, and the sign-off closes the list."""
    gap, sd = (_round(value) for value in (record.widest_gap_mm, record.widest_gap_sd_mm))
    limit, none = f"at most {record.tolerance_mm:g} mm", ("counts", "", "", "", "", "")
    yield ("gaps", gap, "mm", sd, _gauges(record), "", limit, record.state, "", _yes(True), *none)
    for check in record.checks:
        who = none if check.value is None else _who(check)
        yield (
            *(check.name, check.value, check.unit, check.sd, check.gauge, check.calibration),
            *(check.limit, check.verdict, check.photo),
            *(_yes(check.latest), *who),
        )
    signed = record.signed
    if signed is None:
        yield ("sign-off", record.sign_off_text, "", None, "", "", "", "", "", _yes(True), *none)
        return
    who = ("counts", signed.stamp.when, signed.by, "", "", "")
    yield ("sign-off", signed.concession, "", None, "", "", "", "signed off", "", _yes(True), *who)


def _later(record: Record) -> Iterator[tuple[Cell, ...]]:
    for one in record.later:
        yield str(one.entry["event"]), one.text, one.stamp.when, one.stamp.who


def _gauges(record: Record) -> str:
    """Those of the last round."""
    gaps = [reading for reading in record.readings if reading.counts and reading.round]
    last = max((reading.round for reading in gaps), default=0)
    return ", ".join(dict.fromkeys(reading.gauge for reading in gaps if reading.round == last))


def _who(told: Work | Check) -> tuple[Cell, ...]:
    return told.status, told.stamp.when, told.stamp.who, told.instead, told.by.when, told.by.who


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _round(value: float | None, places: int = 3) -> float | None:
    return None if value is None or not isfinite(value) else round(float(value), places)


def _band(sd: float | None) -> float | None:
    return None if sd is None else _round(BAND * sd)


TABLES: dict[str, tuple[tuple[str, ...], Callable[[Record], Iterator[tuple[Cell, ...]]]]] = {
    "passes": (PASSES, _passes),
    "strokes": (STROKES, _strokes),
    "readings": (READINGS, _readings),
    "checks": (CHECKS, _checks),
    "later": (LATER, _later),
}
