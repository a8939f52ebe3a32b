"""The bench: the parts in work, what each asks for next, and files that need help."""

from __future__ import annotations

from dataclasses import dataclass

import core
from shopapp.presenters import sets, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import PLAIN, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import BenchView, Card, Damaged

MOST_CARDS = 60
"""cards that anybody looks through; the rest is found by searching"""
NOBODY_NAMED = "no name is set: Settings, Who works"
MORE = "The {} changed last are shown, of {:,}. Search finds the others."


@dataclass(frozen=True)
class Glanced:
    """What is looked for in a part's card. finished : signed off; words : name and place in its set, for
    searching; card : that it was taken from"""

    finished: bool
    words: str
    card: core.PartCard


class Glance:
    """A look at a part's card, taken once for each state of it: a shop may have thousands."""

    def __init__(self) -> None:
        self._taken: dict[str, Glanced] = {}

    def __call__(self, card: core.PartCard) -> Glanced:
        """The look at this card."""
        taken = self._taken.get(card.id)
        if taken is None or taken.card is not card:
            summary = card.summary
            words = f"{card.name} {sets.place_text(summary.get('set', {}))}".casefold()
            taken = self._taken[card.id] = Glanced(bool(summary.get("finished")), words, card)
        return taken


class BenchPresenter(Presenter[BenchView]):
    """Keys: new, like:PART, finished, in_work, search (where there is a part), all (while searching), owned,
    sets, jobs, cautions, open:PART, restore:PART, accept:PART."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._finished = False
        self._sought = ""
        self._glance = Glance()
        self.touches = {
            "new": self._new,
            "like": self._like,
            "finished": lambda _: self._show(finished=True),
            "in_work": lambda _: self._show(finished=False),
            "search": lambda _: None,
            "all": lambda _: self._seek(""),
            "owned": lambda _: "inventory",
            "cautions": lambda _: "cautions",
            "sets": self._sets,
            "jobs": lambda _: "job_files",
            "open": self._open,
            "restore": lambda part_id: self.session.shop.restore(part_id),
            "accept": lambda part_id: self.session.shop.accept(part_id),
        }

    def open(self, part_id: str) -> BenchView:
        """A card was touched."""
        return self.press(f"open:{part_id}")

    def restore(self, part_id: str) -> BenchView:
        """Bring back the last good copy of a damaged file."""
        return self.press(f"restore:{part_id}")

    def change(self, _: str, text: str) -> BenchView:
        """What is searched for was typed; "" shows all again."""
        return self.attempt(self._seek, text)

    def view(self, go: str = "") -> BenchView:
        """The cards, those changed last first, no more than can be looked through; while searching, those of
        all parts, in work or finished, that have every word."""
        parts = self.session.shop.parts()
        looks = [self._glance(part) for part in parts]
        done = sum(look.finished for look in looks)
        words = self._sought.casefold().split()
        for word in words:
            looks = [look for look in looks if word in look.words]
        shown = [look.card for look in looks if words or look.finished is self._finished]
        return BenchView(
            header=Header(self._title(len(shown)), unit="" if self._sought else "mm", back=""),
            cards=tuple(_card(part) for part in shown[:MOST_CARDS]),
            damaged=_damaged(self.session.shop.damaged()),
            empty="" if shown else self._empty(done),
            keys=self._keys(len(parts) - done, done, bool(shown)),
            finished=self._finished,
            sought=self._sought,
            more=MORE.format(MOST_CARDS, len(shown)) if len(shown) > MOST_CARDS else "",
            who=f"{self.session.who} works" if self.session.who else NOBODY_NAMED,
            complaint=self.complaint,
            go=go,
        )

    def _title(self, count: int) -> str:
        if self._sought.strip():
            return f"Found: {wording.count(count, 'part')}"
        return "Finished parts" if self._finished else "Parts in work"

    def _empty(self, finished: int) -> str:
        if self._sought.strip():
            return f"No part is called “{self._sought.strip()}”. A few letters of its name are enough."
        if self._finished:
            return "No part is signed off yet."
        new = "Touch New part: name it, give its line, section and tolerance."
        if not finished:
            return f"No part is in work. {new}"
        told = wording.count(finished, "finished part")
        return f"No part is in work; {told} under Done. {new}"

    def _keys(self, in_work: int, finished: int, any_card: bool) -> tuple[Key, ...]:
        owned = Key("owned", "What we own", why="metals, tool sets, machines, how metals answered")
        jobs = Key("jobs", "Parts in", why="a folder of parts at once")
        sets_key = Key("sets", "Sets", why="parts alike, side by side")
        search = (Key("search", "Search", why="parts by name"),) if in_work + finished else ()
        new = Key("new", "New part", main=not any_card and not self._finished and not self._sought)
        if self._sought:
            all_key = Key("all", "All parts", why="end the search")
            return (new, all_key, *search, sets_key, owned, jobs, Key("cautions", "Cautions"))
        other = Key("in_work", f"In work {in_work}")
        if not self._finished:
            why = "" if finished else "none yet"
            other = Key("finished", f"Done {finished}", enabled=finished > 0, why=why)
        return (new, other, *search, sets_key, owned, jobs, Key("cautions", "Cautions"))

    def _seek(self, text: str) -> None:
        self._sought = text

    def _show(self, *, finished: bool) -> None:
        self._finished = finished

    def _sets(self, _: str) -> str:
        self.session.set_shown = ""
        return "set"

    def _new(self, _: str) -> str:
        self.session.like = None
        return "setup"

    def _like(self, part_id: str) -> str:
        """Set up another part from this one's job."""
        self.session.like = sets.with_id(self.session.shop.open(part_id).job_document, part_id)
        return "setup"

    def _open(self, part_id: str) -> str:
        self.session.open(part_id)
        return "part"


def _card(part: core.PartCard) -> Card:
    """A card from the index. A part that was never worked out says so."""
    summary = part.summary
    state_text, widest = str(summary.get("state_text", "")), str(summary.get("widest", wording.UNKNOWN))
    history = tuple(float(gap) for gap in summary.get("history_mm", ()))
    tolerance = float(summary.get("tolerance_mm", 0.0))
    return Card(
        part_id=part.id,
        name=part.name,
        set_text=str(summary.get("place", "")),
        outline=tuple((float(x), float(y)) for x, y in summary.get("sketch", ())),
        history_mm=history,
        tolerance_mm=tolerance,
        history_text=wording.digits(max(history)) if history else "",
        limit_text=wording.limit_digits(tolerance) if tolerance else "",
        in_set=sets.place_text(summary.get("set", {})),
        widest="" if state_text and widest == wording.UNKNOWN else widest,
        next=str(summary.get("next", "Open it to see what is next")),
        state=str(summary.get("state", PLAIN)),
        state_text=state_text,
    )


def _damaged(damages: list[core.Damage]) -> tuple[Damaged, ...]:
    """What is damaged; of several each with a number, which its keys name."""
    several = len(damages) > 1
    return tuple(_one_damaged(damage, f"{i + 1}" if several else "") for i, damage in enumerate(damages))


def _one_damaged(damage: core.Damage, number: str) -> Damaged:
    can = damage.has_copy and not damage.is_newer
    why = _of_copy(damage)
    if not can:
        why = "written by a newer version" if damage.is_newer else "there is no good copy"
    name = damage.name or ("What the shop keeps beside its parts" if damage.is_settings else "Part, no name")
    of = f", {number}" if number else ""
    restore = Key(f"restore:{damage.part_id}", f"Bring back last good copy{of}", enabled=can, why=why)
    accept = Key(
        f"accept:{damage.part_id}", f"Take it as it stands{of}", why="its seals go on naming what changed"
    )
    copy = (wording.capital(why),) if can else ()
    text = ". ".join((damage.what, *(broken.what for broken in damage.broken), *copy, f"File {damage.file}"))
    return Damaged(
        damage.part_id,
        f"{number}. {name}" if number else name,
        text,
        restore,
        accept if damage.readable else None,
    )


def _of_copy(damage: core.Damage) -> str:
    """What is lost when the copy takes the place of the file."""
    holds = "" if damage.copy is None else f" holds {wording.count(damage.copy.event_count, 'entry')} and"
    return f"the last good copy{holds} is of before the last change: the last entry may be missing in it"
