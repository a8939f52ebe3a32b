"""Moments as the log keeps them: UTC for order, the local offset for the shop's own day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from core.errors import InputError

Clock = Callable[[], datetime]


def local_now() -> datetime:
    """The present moment, with the local offset."""
    return datetime.now().astimezone()


def stamped(moment: datetime) -> dict[str, str]:
    """Fields ``at`` (ISO 8601, UTC, microseconds) and ``offset`` (local, +HH:MM) of an event.

    Raises InputError for a moment without an offset: nobody could tell later when it was.
    """
    offset = moment.utcoffset() if isinstance(moment, datetime) else None
    if offset is None:
        raise InputError("at", moment, "a date and time with its offset from UTC is wanted")
    at = moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds")
    return {"at": at + "Z", "offset": moment.isoformat()[-6:]}
