"""What was planned of a piece of work, as the note just before it keeps it for the record."""

from __future__ import annotations

from math import isfinite
from typing import Any

import core


def of_pass(planned: core.Pass) -> dict[str, Any]:
    """JSON-ready: action, bite, strokes a site, widest gap expected in mm with its sd, minutes; bow and twist
    with their sds where the part has them."""
    names = ("bow_mm", "bow_sd_mm", "twist_rad", "twist_sd_rad")
    aside = {name: float(getattr(planned, name)) for name in names}
    return {
        "gap_mm": float(planned.expected_gap_mm),
        "gap_sd_mm": float(planned.expected_gap_sd_mm),
        **{name: value for name, value in aside.items() if isfinite(value)},
        **({"bow_side": planned.side} if isfinite(planned.bow_mm) else {}),
        "action": planned.action,
        **_strokes(planned),
    }


def of_smoothing(planned: core.Smoothing) -> dict[str, Any]:
    """The same of a smoothing, of which no gap is foretold."""
    return _strokes(planned)


def _strokes(planned: core.Pass | core.Smoothing) -> dict[str, Any]:
    minutes = {"minutes": float(planned.minutes)} if isfinite(planned.minutes) else {}
    return {"bite": planned.bite, "strokes": [int(m) for m in planned.strokes], **minutes}
