"""Sign-off: what a part was closed with, and what came later.

1. A sign-off closes the log as it stands. The signed result is that of the entries up to it, for good.
2. What comes later stands beside it: readings, checks, corrections, an undo, even of an entry before the
   sign-off or of the sign-off itself. None of it changes the signed result.
3. Later entries count once the part is signed off anew: then the result is that of the log up to there.
4. Notes are no entries in this sense.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from core.events import Event, checked, effective

NAME, AGAIN = "signed_off", "reopened"


@dataclass(frozen=True)
class SignOff:
    """event : the last sign-off; signed : the raw log up to it; later : raw entries after it but notes;
    before : earlier sign-offs of the part, oldest first"""

    event: Event
    signed: tuple[Event, ...]
    later: tuple[Event, ...]
    before: tuple[Event, ...]

    @property
    def closed(self) -> bool:
        """Whether nothing came later."""
        return not self.later

    @property
    def uncounted(self) -> tuple[Event, ...]:
        """Later entries that would count with a new sign-off."""
        return tuple(event for event in self.later if event["event"] != AGAIN)

    @property
    def live(self) -> list[Event]:
        """The signed log as it counts. Raises InputError as :func:`core.events.effective`."""
        return effective(self.signed)


def check_read(check: str, value: Any, **more: Any) -> Event:
    """A finish check beside the gaps: its name, its value in the unit of the check or a word, and what
    belongs to it ("unit", "gauge", "sd", "limit", "photo": a path relative to the data folder)."""
    return checked({"event": "check_read", "check": check, "value": value, **more})


def signed_off(by: str, **more: Any) -> Event:
    """The part is closed. by : name of who checked."""
    return checked({"event": NAME, "by": by, **more})


def reopened(why: str = "") -> Event:
    """A signed part is taken up again: what follows stands beside the sign-off until it is signed anew."""
    return {"event": AGAIN, **({"why": why} if why else {})}


def sign_off(events: Iterable[Event]) -> SignOff | None:
    """The last sign-off in a raw log, None where there is none."""
    log = tuple(events)
    places = [i for i, event in enumerate(log) if event["event"] == NAME]
    if not places:
        return None
    last = places[-1]
    later = tuple(event for event in log[last + 1 :] if event["event"] != "note")
    return SignOff(log[last], log[: last + 1], later, tuple(log[i] for i in places[:-1]))
