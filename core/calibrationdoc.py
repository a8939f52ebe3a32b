"""The calibration of a gauge, read from its document."""

from __future__ import annotations

from core.calibration import Calibration
from core.jobfields import Fields

LONGEST_MONTHS = 240


def calibration_from(fields: Fields) -> Calibration | None:
    """From "calibrated", a day, and "interval_months"; None where no day is given. Raises InputError."""
    months = fields.whole("interval_months", most=LONGEST_MONTHS) if fields.has("interval_months") else None
    return Calibration(fields.day("calibrated"), months) if fields.has("calibrated") or months else None
