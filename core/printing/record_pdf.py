"""The record of a part as PDF, by fpdf2 (the extra "records")."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from math import isnan
from types import MappingProxyType

from core.advice import BAND, UNMEASURED
from core.printing.letters import Fonts
from core.printing.matrix import draw_matrix
from core.printing.pages import HEADING, INNER_MM, LARGE, MARGIN_MM, PLAIN, SMALL, WIDE_MM, Pages
from core.printing.photos import photos_told
from core.printing.rounds import changes_told, rounds_told
from core.printing.strip import draw_strip
from core.records.checks import Check
from core.records.fates import COUNTS
from core.records.record import NOT_SIGNED, Record
from core.records.work import Ahead, Work
from core.units import format_band, format_length, format_limit, format_with_unit

NOTHING = "–"
SHORT = 36  # letters that half a line takes
HALF_MM = 0.5 * INNER_MM
SIGNED_MM = 62.0  # width of the field that says who signed it off


def record_pdf(
    record: Record, cautions: str, fonts: Fonts, photos: Mapping[str, bytes] = MappingProxyType({})
) -> bytes:
    """The whole record on pages of A4. cautions : a line or two, as the program words them; photos : pictures
    that its checks name, as far as they are there, by name.

    Raises InputError, ``form``, where fpdf2 is not installed.
    """
    pages = Pages(f"{record.name}, record", f"{record.name}, record of the part", fonts)
    _head(pages, record)
    _facts(pages, record)
    pages.heading("Gaps along the part", keep_mm=50.0)
    draw_strip(pages, record.before, record.site)
    if record.now is not None:
        draw_strip(pages, record.now, record.site)
    _passes(pages, record)
    rounds_told(pages, record)
    changes_told(pages, record)
    _checks(pages, record)
    photos_told(pages, record.checks, photos)
    _remarks(pages, record)
    _closing(pages, record, cautions)
    return pages.done()


def _head(pages: Pages, record: Record) -> None:
    pages.paragraph("Record of a part", PLAIN)
    pages.paragraph(record.name, LARGE, bold=True)
    if record.broken:
        told = " ".join(f"{text}." for text in record.broken)
        pages.paragraph(f"CHANGED OUTSIDE THE PROGRAM: {told}", bold=True)
    pages.y += 1.0
    pages.need(16.0)
    top, room = pages.y, INNER_MM - SIGNED_MM - 4.0
    lines = pages.letters.wrapped(gaps_text(record), PLAIN, room - 4.0)
    signed = pages.letters.wrapped(record.sign_off_text, HEADING, SIGNED_MM - 4.0, bold=True)
    high = max(11.0 + 3.8 * len(lines), 6.0 + 5.0 * len(signed))
    pages.document.rect(MARGIN_MM, top, room, high)
    pages.document.rect(WIDE_MM - MARGIN_MM - SIGNED_MM, top, SIGNED_MM, high)
    pages.text(MARGIN_MM + 2.0, top + 6.0, f"Gaps: {record.state}", HEADING, bold=True)
    for k, line in enumerate(lines):
        pages.text(MARGIN_MM + 2.0, top + 11.0 + 3.8 * k, line, PLAIN)
    for k, line in enumerate(signed):
        pages.text(WIDE_MM - MARGIN_MM - SIGNED_MM + 2.0, top + 6.0 + 5.0 * k, line, HEADING, bold=True)
    pages.y = top + high + 2.0


def gaps_text(record: Record) -> str:
    """The widest gap against its limit, in a sentence."""
    if record.widest_at is None:
        return record.warnings[0]
    gap = format_band(record.widest_gap_mm, record.widest_gap_sd_mm)
    limit = format_limit(record.tolerance_mm)
    if record.state == UNMEASURED:
        return f"Not measured; as reckoned the widest gap is {gap}, at most {limit} wanted."
    if isnan(record.chance):
        return f"In doubt: as read the widest gap is {gap}, at most {limit} wanted; it is to be read again."
    chance = f"{min(max(100.0 * record.chance, 1.0), 99.0):.0f} %"
    more = "more than " if record.chance > 0.99 else "less than " if record.chance < 0.01 else ""
    return (
        f"Widest gap {gap} at {record.site} {record.widest_at + 1}, at most {limit} wanted; "
        f"chance of being within {more}{chance}."
    )


def _facts(pages: Pages, record: Record) -> None:
    """Short ones two in a row, long ones below."""
    pages.heading("Job, metal, machine and tools")
    short = [fact for fact in record.facts if len(fact.text) <= SHORT]
    pairs = zip_longest(short[::2], short[1::2])
    rows = [(a.label, a.text, b.label if b else "", b.text if b else "") for a, b in pairs]
    label = 32.0
    pages.table(("", "", "", ""), rows, (label, HALF_MM - label) * 2, headed=False)
    long = [(fact.label, fact.text) for fact in record.facts if len(fact.text) > SHORT]
    pages.table(("", ""), long, (label, INNER_MM - label), headed=False)


PASS_HEADER = (
    *("pass", "what", "bite", "ram setting", "strokes planned", "strokes done", "widest gap expected"),
    *("widest gap after", "min planned", "min taken", "by, when"),
)
PASS_WIDTHS = (9.0, 24.0, 14.0, 15.0, 15.0, 14.0, 23.0, 16.0, 14.0, 12.0, 30.0)


def _passes(pages: Pages, record: Record) -> None:
    pages.heading("Work, as planned and as done")
    if not record.works and not record.ahead:
        pages.paragraph("No work is on record.")
        return
    pages.table(PASS_HEADER, [*map(_pass, record.works), *map(_ahead, record.ahead)], PASS_WIDTHS)
    told = "Minutes planned and taken include the round of gaps after a pass; those taken, breaks as well."
    unknown = any(w.kind == "pass" and w.counts and w.planned is None for w in record.works)
    pages.paragraph(f"{told} {NOTHING}: not on record." if unknown else told, SMALL)
    stayed = [f"pass {w.number}: {w.stayed}" for w in record.works if w.counts and w.stayed]
    if stayed:
        pages.paragraph("Stayed after spring-back, of what was to stay:", SMALL)
    for line in stayed:
        pages.paragraph(line, SMALL)
    rows = [row for work in record.works if work.strokes for row in _strokes(work)]
    if rows:
        pages.heading(f"Strokes by {record.site}: {record.each}", keep_mm=15.0)
        draw_matrix(pages, record.site, rows, len(record.position_mm))


def _pass(work: Work) -> tuple[str, ...]:
    plan = work.planned
    expected = (
        None if plan is None or plan.gap_mm is None else format_band(plan.gap_mm, plan.gap_sd_mm or 0.0)
    )
    what = ", ".join(work.words) if work.kind == "pass" else f"{work.kind} {work.action} {work.where}"
    return (
        str(work.number or ""),
        what.strip() if work.status == COUNTS else f"{what.strip()} ({work.status})",
        work.bite,
        work.setting,
        NOTHING if plan is None or plan.in_all is None else str(plan.in_all),
        NOTHING if work.in_all is None else str(work.in_all),
        expected or NOTHING,
        NOTHING if work.gap_mm is None else format_length(work.gap_mm),
        _minutes(None if plan is None else plan.minutes),
        _minutes(work.minutes),
        str(work.stamp),
    )


def _ahead(ahead: Ahead) -> tuple[str, ...]:
    gap = NOTHING if ahead.gap_mm is None else format_band(ahead.gap_mm, ahead.gap_sd_mm or 0.0)
    return (
        *(str(ahead.number or ""), ", ".join(ahead.words) or ahead.kind, ahead.bite, ahead.setting),
        *(str(ahead.in_all), NOTHING, gap, NOTHING, _minutes(ahead.minutes), NOTHING, "still planned"),
    )


def _minutes(minutes: float | None) -> str:
    return NOTHING if minutes is None else f"{minutes:.0f}"


def _strokes(work: Work) -> Iterator[tuple[str, list[str]]]:
    """As done, and above it as planned where that was other."""
    name = f"pass {work.number}" if work.number else work.kind
    if work.status != COUNTS:
        name = f"{work.kind}, {work.status}"
    if work.planned is not None and work.planned.strokes and work.planned.strokes != work.strokes:
        yield f"{name}, plan", list(map(str, work.planned.strokes))
    yield name, list(map(str, work.strokes))


CHECK_HEADER = ("check", "gauge", "read", "limit", "verdict", "by, when")
CHECK_WIDTHS = (38.0, 30.0, 34.0, 30.0, 24.0, 30.0)


def _checks(pages: Pages, record: Record) -> None:
    pages.heading("Final check")
    gap = format_band(record.widest_gap_mm, record.widest_gap_sd_mm)
    limit = f"at most {format_limit(record.tolerance_mm)}"
    by = "no round, reckoned" if record.state == UNMEASURED else "as in the rounds"
    gaps = ("widest gap", by, gap, limit, record.state, "worked out")
    pages.table(CHECK_HEADER, [gaps, *map(_check, record.checks)], CHECK_WIDTHS)
    pages.paragraph(f"Decision: {record.rule}", SMALL)


def _check(check: Check) -> tuple[str, ...]:
    name = check.label if check.status == COUNTS else f"{check.label} ({check.status})"
    earlier = check.status == COUNTS and not check.latest
    return (
        f"{name} (an earlier one)" if earlier else name,
        ", ".join(text for text in (check.gauge, check.calibration) if text),
        _value(check),
        check.limit,
        check.verdict,
        NOTHING if check.value is None else str(check.stamp),
    )


def _value(check: Check) -> str:
    if check.value is None:
        return NOTHING
    shown = f"{check.value:g}" if isinstance(check.value, float) else check.value
    band = f" ± {BAND * check.sd:.2g}" if check.sd else ""
    read = format_with_unit(f"{shown}{band}", check.unit)
    return f"{read}; photo {check.photo}" if check.photo else read


def _remarks(pages: Pages, record: Record) -> None:
    told: Sequence[str] = [
        *(f"Caution: {sentence}" for sentence in record.warnings),
        *(
            f"{remark.stamp}: {remark.text}{'' if remark.status == COUNTS else f' ({remark.status})'}"
            for remark in record.remarks
        ),
    ]
    if not told:
        return
    pages.heading("Remarks", keep_mm=8.0)
    for sentence in told:
        pages.paragraph(sentence)


def _closing(pages: Pages, record: Record, cautions: str) -> None:
    pages.heading("Sign-off", keep_mm=22.0)
    pages.paragraph(record.sign_off_text, HEADING, bold=True)
    if record.signed is None:
        pages.paragraph(f"{NOT_SIGNED} means: nobody has taken this part as finished.")
    elif record.signed.concession:
        pages.paragraph(f"With concession: {record.signed.concession}")
    for warning in () if record.signed is None else record.signed.warnings:
        pages.paragraph(f"Warned of at sign-off: {warning}.")
    _seal(pages, record)
    if record.later:
        pages.heading("Since sign-off", keep_mm=12.0)
        pages.paragraph(LATER)
        pages.table(("by, when", "what"), [(str(one.stamp), one.text) for one in record.later], LATER_WIDTHS)
    pages.y += 2.0
    pages.paragraph(cautions, SMALL)


LATER = "Beside the signed result, of which all above tells, not counted until the part is signed off anew."
LATER_WIDTHS = (45.0, 141.0)


def _seal(pages: Pages, record: Record) -> None:
    """On paper it pins every entry up to the sign-off."""
    seal = "" if record.signed is None else record.signed.seal
    if seal:
        groups = " ".join(seal[i : i + 4] for i in range(0, 16, 4))
        told = "SHA-256 of this entry and, one by one, of all before it; the first 16 digits"
        pages.paragraph(f"Seal {groups} ({told}).", SMALL)
