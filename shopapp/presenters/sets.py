"""Sets of parts alike as the shop's index tells of them: which part is of which set, and the next one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import core
from shopapp.presenters.session import Session
from shopapp.presenters.setup_like import next_name


@dataclass(frozen=True)
class Member:
    """A part of a set. part : from 1; of : wanted, None where nobody said; done : None while the part was
    never worked out, or where that cannot be read"""

    part_id: str
    name: str
    part: int
    of: int | None
    done: core.PartDone | None

    @property
    def finished(self) -> bool:
        """Within, or signed off."""
        return self.done is not None and self.done.finished


@dataclass(frozen=True)
class PartSet:
    """id : of the set, that of its first part; job : of that, with what it started from"""

    id: str
    job: core.Job
    members: tuple[Member, ...]

    @property
    def told(self) -> tuple[Member, ...]:
        """Members that were worked out."""
        return tuple(one for one in self.members if one.done is not None)

    def summary(self, batch_begun: bool = False) -> core.SetSummary:
        """As it stands. batch_begun : the next part is of another batch"""
        return core.set_summary(self.job, [one.done for one in self.told if one.done], batch_begun)


def id_of(card: core.PartCard) -> str:
    """The set that a part belongs to: its own, where it is the first or the only one."""
    return str(_place(card).get("id") or card.id)


def with_id(document: dict[str, Any], part_id: str) -> dict[str, Any]:
    """The job of a part that another one like it is made from: one that has a place names its set."""
    return {**document, "set": {"id": part_id, **document["set"]}} if "set" in document else document


def ids(session: Session) -> list[str]:
    """Sets of more than one part, or that want more, those changed last first."""
    cards = session.shop.parts()
    many = Counter(map(id_of, cards))
    named = {id_of(card) for card in cards if _place(card)}
    return [one for one, count in many.items() if count > 1 or one in named]


def part_set(session: Session, set_id: str) -> PartSet | None:
    """A set with its parts in order; None where none of them is there."""
    named = (card for card in session.shop.parts() if card.id == set_id or set_id in card.summary_text)
    cards = [card for card in named if id_of(card) == set_id]  # a shop may have thousands: few are read
    cards.sort(key=lambda card: (int(_place(card).get("part", 1)), card.created_at))
    if not cards:
        return None
    job = core.job(session.shop.open(cards[0].id).job_document)
    return PartSet(set_id, job, tuple(_member(card, job) for card in cards))


def place_text(place: Mapping[str, Any]) -> str:
    """ "part 3 of 6", "" for none."""
    if not place:
        return ""
    return f"part {place['part']}" + (f" of {place['of']}" if place.get("of") else "")


def begin(session: Session, of: PartSet, coil: bool, wanted: int) -> None:
    """Begin the record of the next part, and open it. coil : another batch begins with it. Raises
    core.InputError, core.StoreError."""
    first, last = of.members[0], of.members[-1]
    outlook = of.summary(coil).outlook
    like = core.job(session.shop.open(first.part_id).job_document).settled_document
    document = core.starting_from_set(like, outlook)
    number = last.part + 1
    name = next_name(last.name)
    if coil:
        document.pop("batch", None)  # that of the coil before
    document["name"] = name if name != last.name else f"{last.name} {number}"
    document["set"] = {"id": of.id, "part": number, "of": max(wanted, number)}
    part_id = session.shop.new_part(document)
    session.shop.open(part_id).set_summary({"set": document["set"]})
    session.open(part_id)
    if coil:
        session.log(core.batch_begun())


def noticed(session: Session) -> tuple[str, ...]:
    """A sentence where the open part answers unlike those before it, and nobody noted another batch."""
    job, advice = session.job, session.advice
    if job.place is None or advice is None or session.stale or not advice.learned:
        return ()
    found = part_set(session, job.place.id)
    if found is None or found.told[-1:] == () or found.told[-1].part_id != session.part_id:
        return ()
    outlook = found.summary().outlook
    here = [len(found.told) - 1 == i and step.change == "noticed" for i, step in enumerate(outlook.steps)]
    return (outlook.sentences[-1],) if any(here) else ()


def _place(card: core.PartCard) -> Mapping[str, Any]:
    place: Mapping[str, Any] = card.summary.get("set", {}) if '"set"' in card.summary_text else {}
    return place


def _member(card: core.PartCard, job: core.Job) -> Member:
    place, kept_done = _place(card), card.summary.get("done")
    done = None
    if kept_done is not None:
        try:
            done = core.part_done_from(kept_done, job)
        except core.InputError:  # of an earlier form: the part tells it again once it is opened
            done = None
    return Member(card.id, card.name, int(place.get("part", 1)), place.get("of"), done)
