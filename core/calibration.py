"""Calibration of a gauge: when it was, for how many months it holds, and whether that is past."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Calibration:
    """day : of the calibration; interval_months : for which it holds, None where none is set"""

    day: date
    interval_months: int | None = None

    @property
    def due(self) -> date | None:
        """The last day on which it holds: the same day of the month, or the last where that month is shorter;
        None where no interval is set."""
        if self.interval_months is None:
            return None
        months = self.day.year * 12 + self.day.month - 1 + self.interval_months
        year, month = months // 12, months % 12 + 1
        return date(year, month, min(self.day.day, monthrange(year, month)[1]))

    def is_past(self, today: date) -> bool:
        """Whether it holds no longer."""
        return self.due is not None and today > self.due

    @property
    def days(self) -> tuple[str, str, str]:
        """It and the last day on which it holds, and no day to hold them against, for :func:`in_words`."""
        return self.day.isoformat(), "" if self.due is None else self.due.isoformat(), ""

    @property
    def document(self) -> dict[str, str | int]:
        """JSON-ready, as in a gauge's document."""
        months = {} if self.interval_months is None else {"interval_months": self.interval_months}
        return {"calibrated": self.day.isoformat(), **months}


def in_words(calibrated: str, due: str, on: str) -> str:
    """What a calibration was worth on a day, "" for none. Days as ISO 8601, "" where they are not known."""
    if not calibrated:
        return ""
    if not due:
        return f"calibrated {calibrated}"
    return f"CALIBRATION PAST since {due}" if on > due else f"calibrated until {due}"
