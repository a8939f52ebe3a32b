"""What the bench shows of a part, small enough for the shop's index, so that the bench opens no part file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

import core
from shopapp.presenters import steps
from shopapp.presenters.steps import Standing

SKETCH_POINTS = 24


def summary_of(standing: Standing, events: Sequence[Any]) -> dict[str, Any]:
    """JSON-ready: name, sketch ((x, y) in mm), widest gaps after each pass in mm, what is next, state, what
    its set keeps of it. events : its raw log"""
    state, words = steps.state_of(standing)
    advice = standing.advice
    return {
        "sketch": sketch(standing),
        "history_mm": [] if advice is None else [float(g) for g in advice.gap_history_mm if np.isfinite(g)],
        "tolerance_mm": standing.job.tolerance_mm,
        "widest": steps.widest_text(advice),
        "next": steps.next_step(standing).text,
        "place": steps.pass_place(standing),
        "finished": standing.closed,
        "state": state,
        "state_text": words,
        **for_set(standing, events),
    }


def sketch(standing: Standing) -> list[list[float]]:
    """A few points (x, y) in mm along the target, evenly picked, the two ends among them."""
    outline = np.asarray(standing.job.part.outline(), dtype=float)
    picked = np.unique(np.linspace(0, len(outline) - 1, SKETCH_POINTS).round().astype(int))
    return [[round(float(x), 1), round(float(y), 1)] for x, y in outline[picked]]


def for_set(standing: Standing, events: Sequence[Any]) -> dict[str, Any]:
    """Which part of which set it is, and what that keeps of it."""
    place = standing.job.place
    found: dict[str, Any] = {}
    if place is not None:
        found["set"] = {"id": place.id, "part": place.part, "of": place.of}
    if standing.advice is not None and standing.passes_done:
        found["done"] = core.part_done(standing.job, events, standing.advice).document
    return found
