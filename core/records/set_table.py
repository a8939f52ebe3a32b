"""A set of parts as a table: what each took, how it came out, what it told of the response."""

from __future__ import annotations

from math import isfinite

from core.records.tables import Table
from core.sets.summary import SetSummary

HEADER = (
    *("part", "name", "passes", "strokes", "minutes", "widest_gap_mm", "standard_uncertainty_mm"),
    *("response_percent", "finished", "batch"),
)
CHANGES = {"": "as before", "announced": "another one begun", "noticed": "another one, as it seems"}


def set_table(summary: SetSummary) -> Table:
    """A row a part; the response is told in per cent of the first guess, what is not known stays blank."""
    rows = zip(summary.parts, summary.response, summary.outlook.steps, strict=True)
    return Table(
        "set",
        HEADER,
        tuple(
            (
                number,
                part.name,
                len(part.passes),
                part.strokes,
                _known(part.minutes, 1),
                _known(part.gap_mm, 3),
                _known(part.gap_sd_mm, 3),
                _known(100.0 * response, 1),
                "yes" if part.finished else "no",
                CHANGES[step.change],
            )
            for number, (part, response, step) in enumerate(rows, 1)
        ),
    )


def _known(value: float, decimals: int) -> float | None:
    return round(value, decimals) if isfinite(value) else None
