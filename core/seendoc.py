"""What was seen on other metal, read from a document: of a job, or of an event in its log."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Any

import numpy as np

from core.errors import InputError
from core.events import ACTIONS
from core.jobfields import Fields, chosen, listed
from core.jobtypes import Tool
from core.seen import Seen, Shared, Told

MOST_STROKES, LARGEST_RATIO = 1000.0, 20.0
SEEN_SD = (0.001, 2.0)  # no trial tells better than the first, beyond the second it tells nothing


def seen_from(fields: Fields, tools: Mapping[str, Tool]) -> Seen:
    """One thing that was seen. tools : the job's, by action. Raises InputError naming the field."""
    action = fields.choice("action", tools)
    seen = Seen(
        action=action,
        bite=fields.choice("bite", tools[action].bites),
        strokes=fields.number("strokes", None, 0.0, MOST_STROKES),
        ratio=fields.number("ratio", None, 0.0, LARGEST_RATIO),
        sd=fields.number("sd", None, *SEEN_SD),
        source=fields.text("source"),
    )
    fields.finish()
    return seen


def shared_from(fields: Fields, tools: Mapping[str, Tool]) -> Shared:
    """What parts alike have in common. Raises InputError naming the field."""
    names = _names(fields, tools)
    mean = _numbers(fields.need("mean"), fields.path("mean"), len(names))
    cov = _table(fields, "cov", len(names), len(names))
    shared = Shared(names, mean, cov, fields.text("source"))
    fields.finish()
    matrix = np.array(cov)
    if not np.allclose(matrix, matrix.T) or np.linalg.eigvalsh(matrix)[0] <= 0.0:
        raise InputError(fields.path("cov"), "the table", "a symmetric, positive definite one is wanted")
    return shared


def told_from(fields: Fields, tools: Mapping[str, Tool]) -> Told:
    """What a part told of that. Raises InputError naming the field."""
    names = _names(fields, tools)
    path = fields.path("values")
    values = _numbers(fields.need("values"), path, len(listed(fields.need("values"), path)))
    rows = _table(fields, "rows", len(values), len(names))
    variance = _numbers(fields.need("variance"), fields.path("variance"), len(values))
    fields.finish()
    if min(variance) <= 0.0:
        raise InputError(fields.path("variance"), min(variance), "numbers above 0 are wanted")
    return Told(names, rows, values, variance)


def _names(fields: Fields, tools: Mapping[str, Tool]) -> tuple[str, ...]:
    """Of parameters, each once. Raises InputError."""
    pairs = [f"{action} {bite}" for action in ACTIONS for bite in tools[action].bites]
    shared = ("bite_exponent", "neighbours", "exponent", "hardening")
    known = dict.fromkeys(["common", *ACTIONS, *pairs, *shared])
    path = fields.path("names")
    names = tuple(chosen(name, path, known) for name in listed(fields.need("names"), path))
    if len(set(names)) < len(names):
        raise InputError(path, names, "each name once is wanted")
    return names


def _table(fields: Fields, name: str, rows: int, columns: int) -> tuple[tuple[float, ...], ...]:
    given = listed(fields.need(name), fields.path(name))
    if len(given) != rows:
        raise InputError(fields.path(name), f"{len(given)} rows", f"{rows} are wanted")
    return tuple(_numbers(row, f"{fields.path(name)}[{i}]", columns) for i, row in enumerate(given))


def _numbers(given: Any, path: str, count: int) -> tuple[float, ...]:
    values = listed(given, path)
    if len(values) != count:
        raise InputError(path, f"{len(values)} numbers", f"{count} are wanted")
    for i, value in enumerate(values):
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise InputError(f"{path}[{i}]", value, "a finite number is wanted")
    return tuple(float(value) for value in values)
