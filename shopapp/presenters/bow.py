"""The bow out of the plane, read on the bench plate: first its side in words, then its size."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import core
from shopapp.presenters import bow_counter, bow_facts, profiles, trial_view, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import BowView

LONGEST_ENTRY = 16


@dataclass(frozen=True)
class Hand:
    """What is not logged yet; any new entry of the log puts it aside. side : 0 for a bow > 0, 1 for one < 0,
    None until it is chosen; countered : work on the other edge that is not in the log changed the bow since
    it was last read; counter : counter-work is shown; whole : all of it, half of it, None as it is advised;
    refused : Enter did not take the entry, and what is typed next begins anew"""

    of: tuple[str, int] = ("", 0)
    side: int | None = None
    countered: bool = False
    counter: bool = False
    whole: bool | None = None
    entry: str = ""
    refused: bool = False


class BowPresenter(Presenter[BowView]):
    """Keys: side:K (0 or 1), straight, countered, sides, digit:C, erase, enter; counter, share, counter_done
    and reading for counter-work."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._hand = Hand()
        self.touches = {
            "side": lambda k: self._set(side=int(k)),
            "straight": lambda _: self._log(0.0),
            "countered": lambda _: self._set(countered=not self._in_hand().countered),
            "sides": lambda _: self._set(side=None),
            "digit": self._type,
            "erase": lambda _: self._set(entry=self._in_hand().entry[:-1], refused=False),
            "enter": self._enter,
            "counter": lambda _: self._set(counter=True),
            "share": lambda _: self._set(whole=not self._whole(self._shown())),
            "counter_done": self._counter_done,
            "reading": lambda _: self._set(counter=False),
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
        hand, counter = self._in_hand(), self._counter()
        if hand.counter and counter is not None:
            return self._counter_view(counter, go)
        asked = hand.side is None
        return BowView(
            header=Header(f"{self.where()}, bow {self._when()}", back="next_step"),
            question="Which way does the middle stand out?" if asked else "How far does it stand out?",
            steps=bow_facts.how(self.session.job),
            facts=self._facts(),
            keys=self._keys(),
            pad=() if asked else trial_view.pad_keys(hand.entry),
            entry=hand.entry,
            side="" if hand.side is None else bow_facts.sides(self.session.job)[hand.side],
            picture=profiles.picture(self.session.job),
            complaint=self.complaint,
            go=go,
        )

    def _counter_view(self, counter: core.Counter, go: str) -> BowView:
        """The counter-work that is advised, all or half of it."""
        job, whole = self.session.job, self._whole(counter)
        return BowView(
            header=Header(f"{self.where()}, counter-work", back="next_step"),
            question=bow_counter.question(counter, whole),
            steps=bow_counter.sentences(self.session.live, counter),
            facts=bow_counter.facts(job, counter, whole),
            keys=bow_counter.keys(counter, whole),
            strip=bow_counter.strip(job, counter, whole),
            complaint=self.complaint,
            go=go,
        )

    def _when(self) -> str:
        done = self.session.standing.passes_done
        return f"after pass {done}" if done else "before the first pass"

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

    def _counter(self) -> core.Counter | None:
        """The counter-work advised; None while the advice is older than the log, or the part closed."""
        advice, closed = self.session.advice, self.session.standing.closed
        return None if advice is None or self.session.stale or closed else advice.counter

    def _shown(self) -> core.Counter:
        counter = self._counter()
        if counter is None:
            raise core.InputError("counter", None, "no counter-work is advised now")
        return counter

    def _whole(self, counter: core.Counter) -> bool:
        """Whether all of it is shown: half of a first guess, else all."""
        whole = self._in_hand().whole
        return counter.known or counter.total < 2 if whole is None else whole

    def _counter_done(self, _: str) -> None:
        """Counter-work as it is shown."""
        counter = self._shown()
        done = bow_counter.strokes(counter, self._whole(counter))
        event = core.counter_done(counter.action, done, counter.bite)
        core.check_event(self.session.job, event, "counter-work")
        self.session.log(event)

    def _facts(self) -> tuple[Fact, ...]:
        effect, since = self._expected(), bow_counter.since_reading(self.session.live)
        return (
            Fact("Expected", wording.UNKNOWN if effect is None else bow_facts.expected(effect)),
            *(
                (Fact("Counter-work since the last reading", wording.count(since, "stroke")),)
                if since
                else ()
            ),
        )

    def _keys(self) -> tuple[Key, ...]:
        hand = self._in_hand()
        if hand.side is not None:
            return (Key("sides", "Other side"),)
        both = bow_facts.sides(self.session.job)
        countered = Key(
            "countered",
            f"Counter-work that is not in the log: {'yes' if hand.countered else 'no'}",
            chosen=hand.countered,
            why="it changed the bow since the last reading",
        )
        counter = self._counter()
        strokes = (
            ""
            if counter is None
            else f"{wording.count(counter.total, 'stroke')} against the {counter.against}"
        )
        return (
            *(Key(f"side:{k}", wording.capital(text)) for k, text in enumerate(both)),
            Key("straight", "No bow", why="log a bow of 0 mm"),
            *((Key("counter", "Counter-work", why=strokes),) if counter is not None else ()),
            *((countered,) if self.session.counter_shown else ()),
        )

    def _type(self, character: str) -> None:
        hand = self._in_hand()
        if hand.side is None:
            raise core.InputError("bow", None, "first touch the side that the middle stands out to")
        entry = "" if hand.refused else hand.entry
        if len(entry) >= LONGEST_ENTRY or not character.isprintable():
            raise core.InputError("bow", entry + character, "a shorter number is wanted")
        self._set(entry=entry + character, refused=False)

    def _enter(self, _: str) -> str:
        hand = self._in_hand()
        if hand.side is None:
            raise core.InputError("bow", None, "first touch the side that the middle stands out to")
        self._set(refused=True)
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
