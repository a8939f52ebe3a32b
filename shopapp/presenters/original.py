"""Measuring an original, place after place: by a straight edge, by the rise over a chord, by tracing it."""

from __future__ import annotations

import re
from dataclasses import replace

import core
from shopapp.presenters import original_taken, outlines, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.line_file import SIDES
from shopapp.presenters.original_taken import (
    ASKED,
    EDGE,
    KEPT,
    NAMES,
    RISE,
    ROUND,
    STORED,
    TRACED,
    Taken,
)
from shopapp.presenters.original_views import OriginalView
from shopapp.presenters.pieces import Fact, Header, Key, Outline
from shopapp.presenters.session import Session
from shopapp.presenters.setup_views import FieldView

WAYS = {EDGE: "By edge", RISE: "By rise", TRACED: "Traced"}
HOW = {
    EDGE: "Lay a straight edge along the part, do not move it, and read how far the part lies off it at each "
    "place: > 0 on one side of it, < 0 on the other.",
    RISE: "Two pins a chord apart, a plunger in the middle between them. Each place is where the plunger "
    "stands, along the part; > 0 where the part turns left.",
    TRACED: "Trace the line on paper or plate, and read points along it from two straight edges that are "
    "square to each other: how far along, how far up. They need not be evenly apart.",
}
WHERE = {
    "line": "",
    "outline": "Read the line where plate and flange meet, the plate at your left hand.",
    "shape": "Read from rim to rim across the middle, on the face that the template is held to. Both halves "
    "make one profile.",
}
"""by the part of a job that is wanted: which line of the original that is"""
WORN = (
    "Touch “Worn spot” where the part is worn or bent: it is left out. A place that is not read stays blank. "
    "Start from the end that shall be the first."
)
SECOND = "The first one is kept. Measure this one from the same end, then lay both side by side."
MOST_ROUNDS = 5
LEFT_OUT = "leave it out, or take it in again"
_READING = re.compile(r"read\[(\d+)\]\[([xy]?\d+)\]")


class OriginalPresenter(Presenter[OriginalView]):
    """Keys: by:WAY, symmetric, round, take, clear; another, or, once one is kept, beside and drop; worn:FIELD
    while a reading is typed."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._taken = original_taken.stored(session, STORED) or Taken()
        self.touches = {
            "by": lambda way: self._keep(replace(self._taken, by=way)),
            "symmetric": lambda _: self._keep(replace(self._taken, symmetric=not self._taken.symmetric)),
            "round": lambda _: self._keep(replace(self._taken, rounds=(*self._taken.rounds, {}))),
            "worn": self._strike_out,
            "clear": lambda _: self._keep(Taken(by=self._taken.by)),
            "take": self._take,
            "another": self._another,
            "beside": self._beside,
            "drop": lambda _: original_taken.store(self.session, KEPT, None),
        }

    def change(self, name: str, text: str) -> OriginalView:
        """A field was typed into; the text is kept whether it is right or not."""
        return self.attempt(lambda typed: self._type(name, typed), text)

    def view(self, go: str = "") -> OriginalView:
        """All fields, and the line as far as it is known."""
        found, wrong = self._taken.found(self.session.line_part)
        second, fields = self._kept(), self._fields()
        return OriginalView(
            header=Header("Measure another original" if second else "Measure an original", "", back="setup"),
            fields=fields,
            keys=self._keys(found),
            outline=None if found is None else self._outline(found),
            facts=() if found is None else _facts(found, self._taken.left_out()),
            sentences=self._sentences(second),
            warnings=(wrong,) if found is None else found.doubts,
            worn=self._worn_keys(fields),
            complaint=self.complaint,
            go=go,
        )

    def _outline(self, found: core.Original) -> Outline:
        bold, _ = SIDES[self.session.line_part]
        return outlines.of_points(found.measured.points_mm, bold)

    def _sentences(self, second: bool) -> tuple[str, ...]:
        said = (SECOND if second else "", WHERE[self.session.line_part], HOW[self._taken.by], WORN)
        return tuple(text for text in said if text)

    def _fields(self) -> tuple[FieldView, ...]:
        taken = self._taken
        asked = [
            FieldView(
                name,
                self._label(name),
                "number",
                taken.text(name),
                "" if name == "points" else "mm",
                ASKED[name][1],
            )
            for name in NAMES[taken.by]
        ]
        several, slots = len(taken.rounds) > 1, taken.slots()
        worn = {slot: ", worn: left out" if taken.spot(slot) in taken.worn else "" for slot in slots}
        readings = [
            FieldView(
                f"read[{r}][{slot}]",
                f"{label}{f', round {r + 1}' if several else ''}{worn[slot]}",
                "number",
                texts.get(slot, ""),
                "mm",
                complaint=original_taken.complaint(texts.get(slot, "")),
            )
            for r, texts in enumerate(taken.rounds)
            for slot, label in slots.items()
        ]
        return (*asked, *readings)

    def _worn_keys(self, fields: tuple[FieldView, ...]) -> tuple[Key, ...]:
        """One for each reading: it leaves the place out, or takes it in again."""
        found = (_READING.fullmatch(field.name) for field in fields)
        return tuple(
            Key(f"worn:{one[0]}", "Worn spot", chosen=Taken.spot(one[2]) in self._taken.worn, why=LEFT_OUT)
            for one in found
            if one is not None
        )

    def _strike_out(self, name: str) -> None:
        found = _READING.fullmatch(name)
        if found is None:
            raise core.InputError("worn", name, "first touch a reading")
        worn = set(self._taken.worn) ^ {Taken.spot(found[2])}
        self._keep(replace(self._taken, worn=tuple(sorted(worn))))

    def _label(self, name: str) -> str:
        """The straight edge is laid from end to end; a chord is moved along the part."""
        along = {EDGE: "along the straight edge", RISE: "along the part"}.get(self._taken.by, "")
        return f"Length {along}" if name == "length" else ASKED[name][0]

    def _keys(self, found: core.Original | None) -> tuple[Key, ...]:
        ways = (Key(f"by:{way}", text, chosen=way == self._taken.by) for way, text in WAYS.items())
        more = len(self._taken.rounds) < MOST_ROUNDS
        return (
            Key("take", "Take this line", main=True, enabled=found is not None, why="not enough is read yet"),
            *ways,
            *self._symmetry(),
            Key("round", "Read once more", enabled=more, why="repeats show how good a reading is"),
            *self._keys_of_two(found is not None),
            Key("clear", "Clear"),
        )

    def _symmetry(self) -> tuple[Key, ...]:
        """Nothing to choose where the part is round."""
        if self.session.line_part in ROUND:
            return ()
        return (Key("symmetric", "Alike, both sides", chosen=self._taken.symmetric, why="of its middle"),)

    def _keys_of_two(self, enabled: bool) -> tuple[Key, ...]:
        """Of two originals at most one is kept beside the one at hand."""
        why = "" if enabled else "not enough is read yet"
        if self._kept():
            beside = Key("beside", "Side by side", enabled=enabled, why=why or "with the one that is kept")
            return (beside, Key("drop", "Forget the first", why="the one that is kept"))
        return (Key("another", "Measure another", enabled=enabled, why=why or "this one is kept beside it"),)

    def _kept(self) -> bool:
        return original_taken.stored(self.session, KEPT) is not None

    def _another(self, _: str) -> None:
        """This one is kept; the next is asked for at the same places."""
        self._must()
        original_taken.store(self.session, KEPT, self._taken)
        self._keep(replace(self._taken, rounds=({},), worn=()))

    def _beside(self, _: str) -> str:
        self._must()
        return "originals"

    def _type(self, name: str, text: str) -> None:
        found = _READING.fullmatch(name)
        if found is None:
            self._keep(replace(self._taken, texts={**self._taken.texts, name: text}))
            return
        rounds = list(self._taken.rounds)
        rounds[int(found[1])] = {**rounds[int(found[1])], found[2]: text}
        self._keep(replace(self._taken, rounds=tuple(rounds)))

    def _keep(self, taken: Taken) -> None:
        """To disk with every change."""
        self._taken = taken
        original_taken.store(self.session, STORED, taken)

    def _take(self, _: str) -> str:
        self.session.line_taken = self._must().line_as(self.session.line_part)
        return "setup"

    def _must(self) -> core.Original:
        found, wrong = self._taken.found(self.session.line_part)
        if found is None:
            raise core.InputError("original", None, wrong)
        return found


def _facts(found: core.Original, left_out: int) -> tuple[Fact, ...]:
    line = found.measured
    return (
        Fact("The line is known to", f"± {wording.length(wording.Z95 * found.sd_mm)}", big=True),
        Fact("At worst", f"± {wording.length(wording.Z95 * float(line.sd_mm.max()))}"),
        Fact("Length", wording.length(line.length_mm)),
        Fact("A reading is off by", wording.length(found.spots.reading_sd_mm)),
        *((Fact("Left out as worn", wording.count(left_out, "reading")),) if left_out else ()),
    )
