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
    def document(self) -> dict[str, str | int]:
        """JSON-ready, as in a gauge's document."""
        months = {} if self.interval_months is None else {"interval_months": self.interval_months}
        return {"calibrated": self.day.isoformat(), **months}
