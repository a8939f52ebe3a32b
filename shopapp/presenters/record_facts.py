"""What a part's record says of itself: what was signed, what came later, whether it is as it was written."""

from __future__ import annotations

from shopapp.presenters import wording
from shopapp.presenters.pieces import PLAIN, TODO, Fact
from shopapp.presenters.session import Session


def facts(session: Session) -> tuple[Fact, ...]:
    """The signed result and what came later; what the seals say of the record."""
    found, signed = [], session.sign_off
    if signed is not None:
        gap = signed.event.get("values", {}).get("gaps", "")
        verdict = signed.event.get("verdicts", {}).get("gaps", "")
        words = ", ".join(text for text in (gap, verdict, wording.moment(signed.event)) if text)
        found.append(Fact("Signed result", words))
        if not signed.closed:
            many = len(signed.uncounted)
            later = "1 entry" if many == 1 else f"{many} entries"
            found.append(Fact("Since sign-off", f"{later}, not counted until signed off anew", TODO))
    if session.seals is not None:
        found.append(Fact("Record", session.seals.words, TODO if session.seals.broken else PLAIN))
    return tuple(found)


def broken(session: Session) -> tuple[str, ...]:
    """Sentences on what was changed outside the program."""
    return () if session.seals is None else tuple(one.what for one in session.seals.broken)
