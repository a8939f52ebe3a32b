"""The bow out of the plane, read on the bench plate: first its side in words, then its size."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import core
from shopapp.presenters import bow_facts, profiles, trial_view, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import BowView

LONGEST_ENTRY = 16
STEPS = (
    "Lay the bar on the bench plate without pressing it. Read how far the heel stands out at mid-length "
    "from the straight line between its two ends, out of the plane of the curve.",
)


@dataclass(frozen=True)
class Hand:
    """What is not logged yet; any new entry of the log puts it aside. side : 0 for a bow > 0, 1 for one < 0,
    None until it is chosen; countered : work on the other edge changed the bow since it was last read"""

    of: tuple[str, int] = ("", 0)
    side: int | None = None
    countered: bool = False
    entry: str = ""


class BowPresenter(Presenter[BowView]):
    """Keys: side:K (0 or 1), straight, countered, sides, digit:C, erase, enter."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._hand = Hand()
        self.touches = {
            "side": lambda k: self._set(side=int(k)),
            "straight": lambda _: self._log(0.0),
            "countered": lambda _: self._set(countered=not self._in_hand().countered),
            "sides": lambda _: self._set(side=None),
            "digit": self._type,
            "erase": lambda _: self._set(entry=self._in_hand().entry[:-1]),
            "enter": self._enter,
        }

    def enter(self) -> BowView:
        """Enter, from a keyboard or a gauge that types: take the size."""
        return self.press("enter")

    def erase(self) -> BowView:
        """Rub out the last character typed."""
        return self.press("erase")

    def take_character(self, character: str) -> None:
        """A typed character goes to the size."""
        self._type(character)

    def view(self, go: str = "") -> BowView:
        """The sides to choose from, or the size being typed."""
        self.session.settle()
        hand, done = self._in_hand(), self.session.standing.passes_done
        when = f"after pass {done}" if done else "before the first pass"
        asked = hand.side is None
        return BowView(
            header=Header(f"{self.where()}, bow {when}", back="next_step"),
            question="Which way does the middle stand out?" if asked else "How far does it stand out?",
            steps=STEPS,
            facts=self._facts(),
            keys=self._keys(),
            pad=() if asked else trial_view.pad_keys(hand.entry),
            entry=hand.entry,
            side="" if hand.side is None else bow_facts.sides(self.session.job)[hand.side],
            picture=profiles.picture(self.session.job),
            complaint=self.complaint,
            go=go,
        )

    def _in_hand(self) -> Hand:
        of = (self.session.part_id, len(self.session.events))
        if self._hand.of != of:
            self._hand = Hand(of)
        return self._hand

    def _set(self, **changes: Any) -> None:
        self._hand = replace(self._in_hand(), **changes)

    def _expected(self) -> core.OutOfPlane | None:
        """The bow by now; None while the advice is older than the log."""
        advice = self.session.advice
        return None if advice is None or self.session.stale else advice.side_effects

    def _facts(self) -> tuple[Fact, ...]:
        effect = self._expected()
        return (Fact("Expected", wording.UNKNOWN if effect is None else bow_facts.expected(effect)),)

    def _keys(self) -> tuple[Key, ...]:
        hand = self._in_hand()
        if hand.side is not None:
            return (Key("sides", "Other side"),)
        both = bow_facts.sides(self.session.job)
        countered = Key(
            "countered",
            f"Counter-work done since the last reading: {'yes' if hand.countered else 'no'}",
            chosen=hand.countered,
            why="work on the other edge changed the bow",
        )
        return (
            *(Key(f"side:{k}", wording.capital(text)) for k, text in enumerate(both)),
            Key("straight", "No bow", why="log a bow of 0 mm"),
            *((countered,) if self.session.counter_shown else ()),
        )

    def _type(self, character: str) -> None:
        hand = self._in_hand()
        if hand.side is None:
            raise core.InputError("bow", None, "first touch the side that the middle stands out to")
        if len(hand.entry) >= LONGEST_ENTRY or not character.isprintable():
            raise core.InputError("bow", hand.entry + character, "a shorter number is wanted")
        self._set(entry=hand.entry + character)

    def _enter(self, _: str) -> str:
        hand = self._in_hand()
        if hand.side is None:
            raise core.InputError("bow", None, "first touch the side that the middle stands out to")
        size = core.parse_reading_mm(hand.entry, "bow")
        if size < 0.0:
            raise core.InputError("bow", hand.entry, "a size of 0 or more is wanted; its side is a key")
        return self._log(size if hand.side == 0 else 0.0 - size)

    def _log(self, bow_mm: float) -> str:
        """The bow as read, with what was expected of it, so that Next can show both."""
        event = core.bow_read(bow_mm, countered=self._in_hand().countered)
        core.check_event(self.session.job, event, "bow")
        expected = self._expected()
        if expected is not None:
            self.session.log(bow_facts.note_before(expected))
        self.session.log(event)
        return "next_step"
