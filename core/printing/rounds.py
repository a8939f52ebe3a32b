"""Rounds of readings on paper: with what, by whom, when, every value, and what was put right later."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from string import ascii_lowercase

from core.printing.matrix import draw_matrix
from core.printing.pages import SMALL, Pages
from core.records.checks import Check
from core.records.fates import COUNTS
from core.records.readings import GAP, Reading
from core.records.record import Record
from core.records.work import Work
from core.units import format_with_unit

MERIDIAN = "meridian"
ROUND_HEADER = ("round", "after work", MERIDIAN, "template", "gauge", "by", "from", "to")
ROUND_WIDTHS = (14.0, 18.0, 17.0, 22.0, 33.0, 30.0, 26.0, 26.0)
CHANGE_HEADER = ("what", "was", "by, when", "is now", "changed by, when")
CHANGE_WIDTHS = (38.0, 28.0, 45.0, 30.0, 45.0)
SHORT = {"touching": "t", "beyond the gauge": ">"}

Key = tuple[int, float | None]


def rounds_told(pages: Pages, record: Record) -> None:
    """Every round of gaps, then what is read by itself."""
    pages.heading("Readings")
    rounds = _rounds(record.readings)
    if rounds:
        others = _others(rounds)
        told = [_round(key, read) for key, read in rounds.items()]
        used = [i for i, name in enumerate(ROUND_HEADER) if name != MERIDIAN or any(row[i] for row in told)]
        header, widths = [ROUND_HEADER[i] for i in used], [ROUND_WIDTHS[i] for i in used]
        pages.table(header, [tuple(row[i] for i in used) for row in told], widths)
        pages.paragraph(
            "Gaps in mm; t: touching, >: beyond the gauge, ?: asked for again and found right, *: see what "
            "was put right. A letter: other gauge or hand than the most of its round.",
            SMALL,
        )
        pages.y += 1.5
        rows = [(_name(key), _cells(read, record, others)) for key, read in rounds.items()]
        draw_matrix(pages, record.site, rows, len(record.position_mm))
        for (gauge, who), letter in others.items():
            pages.paragraph(f"{letter}: {gauge}{f', {who}' if who else ''}", SMALL)
    else:
        pages.paragraph("No gaps are on record.")
    alone = [r for r in record.readings if r.quantity != GAP and r.counts]
    if alone:
        pages.y += 2.0
        rows_alone = [(_what(r, record.site), r.text, r.gauge, str(r.stamp)) for r in alone]
        pages.table(("other readings", "read", "gauge", "by, when"), rows_alone, (52.0, 34.0, 50.0, 50.0))


def changes_told(pages: Pages, record: Record) -> None:
    """All that was withdrawn, put right or read again, with what stands there now."""
    changed = [r for r in record.readings if r.put_right]
    works = [w for w in record.works if not w.counts]
    checks = [c for c in record.checks if c.status != COUNTS]
    rows = [
        *(
            _change(
                f"round {r.round}, {_what(r, record.site)}" if r.round else _what(r, record.site), r.text, r
            )
            for r in changed
        ),
        *(_change(f"{w.kind} {w.action}".strip(), f"{w.bite} bite, {w.in_all} strokes", w) for w in works),
        *(_change(c.name, format_with_unit(f"{c.value}", c.unit), c) for c in checks),
    ]
    if rows:
        pages.heading("What was put right")
        pages.table(CHANGE_HEADER, rows, CHANGE_WIDTHS)


def _change(what: str, was: str, told: Reading | Work | Check) -> tuple[str, ...]:
    return what, was, str(told.stamp), told.instead or told.status, str(told.by)


def _rounds(readings: Sequence[Reading]) -> dict[Key, list[Reading]]:
    found: dict[Key, list[Reading]] = {}
    for reading in readings:
        if reading.quantity == GAP and reading.counts:
            found.setdefault((reading.round, reading.at_deg), []).append(reading)
    return dict(sorted(found.items(), key=lambda item: (item[0][0], item[0][1] or 0.0)))


def _round(key: Key, read: Sequence[Reading]) -> tuple[str, ...]:
    when = sorted(r.stamp.when[:16] for r in read if r.stamp.when)
    return (
        str(key[0]),
        str(read[0].after),
        "" if key[1] is None else f"{key[1]:g}°",
        ", ".join(dict.fromkeys(r.template for r in read)),
        ", ".join(dict.fromkeys(r.gauge for r in read)),
        ", ".join(dict.fromkeys(r.stamp.who for r in read if r.stamp.who)) or "not known",
        when[0] if when else "not known",
        when[-1] if when else "not known",
    )


def _name(key: Key) -> str:
    return f"round {key[0]}" if key[1] is None else f"round {key[0]}, {key[1]:g}°"


def _hand(reading: Reading) -> tuple[str, str]:
    return reading.gauge, reading.stamp.who


def _usual(read: Sequence[Reading]) -> tuple[str, str]:
    return Counter(map(_hand, read)).most_common(1)[0][0]


def _others(rounds: dict[Key, list[Reading]]) -> dict[tuple[str, str], str]:
    """A letter for each gauge and hand that are not the most of some round."""
    hands = dict.fromkeys(_hand(r) for read in rounds.values() for r in read if _hand(r) != _usual(read))
    letters = (f"{a}{b}".strip() for a in ("", *ascii_lowercase) for b in ascii_lowercase)
    return dict(zip(hands, letters, strict=False))


def _cells(read: Sequence[Reading], record: Record, others: dict[tuple[str, str], str]) -> list[str]:
    cells = [""] * len(record.position_mm)
    usual = _usual(read)
    again = {(r.round, r.at_deg, r.site) for r in record.readings if r.put_right}
    for r in read:
        if r.site is None:
            continue
        value = SHORT.get(r.word, f"{r.value_mm:g}" if r.value_mm is not None else r.word)
        marks = "?" * r.confirmed + "*" * ((r.round, r.at_deg, r.site) in again)
        cells[r.site] = f"{value}{marks}{'' if _hand(r) == usual else others[_hand(r)]}"
    return cells


def _what(reading: Reading, site: str) -> str:
    if reading.site is not None:
        return f"{reading.quantity}, {site} {reading.site + 1}"
    return reading.quantity if reading.at_deg is None else f"{reading.quantity} at {reading.at_deg:g}°"
