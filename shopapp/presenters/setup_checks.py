"""The checks of a new part in the set-up: one line each, as it is said on the floor.

    hole positions, at most 0.3 mm, caliper, first and last
    joggle, 44° to 46°, bevel protractor, 1 in 5, photo

The name comes first; a piece that is neither limit nor sampling names the gauge.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import setup_draft
from shopapp.presenters.setup_draft import Draft, kept_rows
from shopapp.presenters.setup_fields import CHECKS

GAUGES, GIVEN = "check_gauges", "checks_given"
"""kept of a draft: own gauges by name, as copied in; entries of a part before, by their line"""
NONE = "no checks"
HELP = (
    "One line a check: name, limits with their unit, gauge, which parts. Such as: hole positions, at most "
    "0.3 mm, caliper, first and last. Or: joggle, 44° to 46°, bevel protractor, 1 in 5, photo. Left blank, "
    "the usual ones; “no checks” for none."
)
_PIECES = {
    r"at most (.+)": ("at_most",),
    r"at least (.+)": ("at_least",),
    r"(.+) to (.+)": ("at_least", "at_most"),
    r"1 in (\d+)": ("sampling",),
    r"(every part|first and last)": ("sampling",),
}


def document(draft: Draft) -> dict[str, Any]:
    """The job document that the draft makes, its checks in it."""
    found = entries(draft)
    return setup_draft.document(draft) | ({} if found is None else {"checks": found})


def entries(draft: Draft) -> list[Any] | None:
    """The checks as the job's document has them; None where no line is typed."""
    rows = draft.rows(CHECKS)
    lines = [rows[i][0].strip() for i in kept_rows(rows)]
    if lines == [NONE]:
        return []
    return [_entry(text, draft.kept) for text in lines] or None


def line(check: core.Check) -> str:
    """A check as it is typed."""
    low, high = (None if end is None else check.told(end) for end in (check.low, check.high))
    limit = (
        f"{low} to {high}"
        if low and high
        else f"at most {high}"
        if high
        else f"at least {low}"
        if low
        else ""
    )
    sampling = f"1 in {check.sampling}" if isinstance(check.sampling, int) else check.sampling
    pieces = (check.name, limit, check.gauge, "" if sampling == "every part" else sampling)
    return ", ".join(piece for piece in pieces if piece)


def listing(draft: Draft, checks: Iterable[core.Check]) -> Draft:
    """With these checks as its lines."""
    return draft.with_rows(CHECKS, tuple((line(check),) for check in checks))


def with_line(draft: Draft, made: str, owned: core.Owned) -> Draft:
    """With one line more, in the first row that is blank."""
    rows = [row for row in draft.rows(CHECKS) if row[0].strip() and row[0].strip() != NONE]
    return with_gauges(draft.with_rows(CHECKS, (*rows, (made,))), owned)


def like(draft: Draft, job: core.Job) -> Draft:
    """With the checks of a part before: a line that is left as it is stands for all that was said there."""
    given = job.document.get("checks")
    if given is None:
        return draft
    kept = {line(check): entry for check, entry in zip(job.checks, given, strict=True)}
    if not given:
        return draft.with_rows(CHECKS, ((NONE,),))
    return listing(replace(draft, kept={**draft.kept, GIVEN: kept}), job.checks)


def with_gauges(draft: Draft, owned: core.Owned) -> Draft:
    """With the shop's gauges that its lines name copied in, as they are now."""
    named = {piece for row in draft.rows(CHECKS) for piece in _split(row[0])[1:]}
    mine = {name: dict(owned.of_check(name)) for name in owned.gauges if name in named}
    return replace(draft, kept={**draft.kept, GAUGES: {**draft.kept.get(GAUGES, {}), **mine}})


def _entry(text: str, kept: Mapping[str, Any]) -> Any:
    if text in kept.get(GIVEN, {}):
        return kept[GIVEN][text]
    name, *pieces = _split(text)
    made: dict[str, Any] = {"name": name}
    for piece in pieces:
        if piece == "photo":
            made["photo"] = True
        elif piece == "look":
            made["quantity"] = piece
        elif not _take(made, piece):
            made["gauge"] = kept.get(GAUGES, {}).get(piece, piece)
    angles = ("°", "deg", "rad")
    if any(str(made.get(end, "")).endswith(angles) for end in ("at_least", "at_most")):
        made["quantity"] = "angle"
    return made


def _take(made: dict[str, Any], piece: str) -> bool:
    """A piece that is a limit or a sampling goes into the entry; whether it is one."""
    for form, names in _PIECES.items():
        found = re.fullmatch(form, piece)
        if found is not None:
            made.update(zip(names, found.groups(), strict=True))
            return True
    return False


def _split(text: str) -> list[str]:
    """At commas; one between digits is that of a number."""
    return [piece.strip() for piece in re.split(r",(?!\d)|;", text)]
