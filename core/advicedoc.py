"""Advice as a JSON-ready mapping, for scripts and the command line."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from math import isfinite
from typing import Any

import numpy as np

from core.advice import NOT_TOLD, Advice, Counter, Response
from core.jobtypes import Job
from core.limits import LimitUse
from core.planned import Pass, Smoothing


def advice_document(advice: Advice, job: Job | None = None) -> dict[str, Any]:
    """Every field of the advice under its own name, as plain lists, numbers and text.

    "response" is a list, one entry an action and bite, with its ratio to what was expected; a pass,
    counter-work and smoothing, has its strokes in all as "total"; what is not known (NaN) is null. Stations
    count from 0. job : where it is given, passes, counter-work and smoothing name their tool set as "tool".
    """
    told = (field.name for field in fields(advice) if NOT_TOLD not in field.metadata)
    document = {name: plain(getattr(advice, name)) for name in told}
    document["response"] = [plain(response) for response in advice.response.values()]
    if job is not None:
        _name_tools(document, job)
    return document


def _name_tools(document: dict[str, Any], job: Job) -> None:
    singly = [document[name] for name in ("next_pass", "counter", "smoothing")]
    for work in (*singly, *document["remaining"], *document["before"]):
        if work is not None:
            work["tool"] = str(job.tools[work.get("action", job.smoother)])


def plain(value: Any) -> Any:
    """A record, and all in it, JSON-ready: fields under their own names, NaN as None."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)} | _derived(value)
    if isinstance(value, np.ndarray | np.generic):
        return plain(value.tolist())
    if isinstance(value, dict):
        return {str(key): plain(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [plain(entry) for entry in value]
    if isinstance(value, float) and not isfinite(value):
        return None
    return value


def _derived(value: Any) -> dict[str, Any]:
    """What a record says beyond its fields."""
    if isinstance(value, Pass | Counter | Smoothing):
        return {"total": value.total}
    if isinstance(value, LimitUse):
        return {"name": list(value.name)}
    if isinstance(value, Response):
        return {"ratio": plain(value.ratio)}
    return {}
