"""Measuring an original, place after place, by a straight edge or by the rise over a chord."""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass, field, replace
from typing import Any

import numpy as np

import core
from shopapp.presenters import outlines, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.original_views import OriginalView
from shopapp.presenters.pieces import Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.setup_views import FieldView

STORED = "original"
"""name of the measurements among the shop's settings"""
EDGE, RISE = "straight edge", "rise over a chord"
WAYS = {EDGE: "By a straight edge", RISE: "By the rise"}
HOW = {
    EDGE: "Lay a straight edge along the part, do not move it, and read how far the part lies off it at each "
    "place: > 0 on one side of it, < 0 on the other.",
    RISE: "Two pins a chord apart, a plunger in the middle between them. Each place is where the plunger "
    "stands, along the part; > 0 where the part turns left.",
}
WORN = "Leave a worn or bent spot blank. Start from the end that shall be the first."
MOST_PLACES, MOST_ROUNDS = 60, 5
ASKED = {
    "length": ("Length", "such as 1200", ""),
    "chord": ("Chord", "such as 200", "200"),
    "pitch": ("A reading every", "such as 100", "100"),
    "sd": ("A reading may be off by", "such as 0.1", "0.1"),
}
_READING = re.compile(r"read\[(\d+)\]\[(\d+)\]")


@dataclass(frozen=True)
class Taken:
    """What was typed. by : the way; texts : by name; rounds : readings by place, round after round"""

    by: str = EDGE
    symmetric: bool = False
    texts: dict[str, str] = field(default_factory=dict)
    rounds: tuple[dict[str, str], ...] = ({},)

    def text(self, name: str) -> str:
        """What a field holds."""
        return self.texts.get(name, ASKED[name][2])


class OriginalPresenter(Presenter[OriginalView]):
    """Keys: by:WAY, symmetric, round, take, clear."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        stored = session.shop.settings.get(STORED)
        self._taken = Taken() if stored is None else Taken(**{**stored, "rounds": tuple(stored["rounds"])})
        self.touches = {
            "by": lambda way: self._keep(replace(self._taken, by=way)),
            "symmetric": lambda _: self._keep(replace(self._taken, symmetric=not self._taken.symmetric)),
            "round": lambda _: self._keep(replace(self._taken, rounds=(*self._taken.rounds, {}))),
            "clear": lambda _: self._keep(Taken(by=self._taken.by)),
            "take": self._take,
        }

    def change(self, name: str, text: str) -> OriginalView:
        """A field was typed into; the text is kept whether it is right or not."""
        return self.attempt(lambda typed: self._type(name, typed), text)

    def view(self, go: str = "") -> OriginalView:
        """All fields, and the line as far as it is known."""
        found, wrong = self._found()
        return OriginalView(
            header=Header("Measure an original", unit="", back="setup"),
            fields=self._fields(),
            keys=self._keys(found),
            outline=None if found is None else outlines.of_points(found.measured.points_mm),
            facts=() if found is None else _facts(found),
            sentences=(HOW[self._taken.by], WORN),
            warnings=(wrong,) if wrong else (),
            complaint=self.complaint,
            go=go,
        )

    def _fields(self) -> tuple[FieldView, ...]:
        names = [name for name in ASKED if name != "chord" or self._taken.by == RISE]
        asked = [
            FieldView(name, self._label(name), "number", self._taken.text(name), "mm", ASKED[name][1])
            for name in names
        ]
        several = len(self._taken.rounds) > 1
        readings = [
            FieldView(
                f"read[{r}][{i}]",
                f"At {wording.size(place)}{f', round {r + 1}' if several else ''}",
                "number",
                texts.get(str(i), ""),
                "mm",
                complaint=_complaint(texts.get(str(i), "")),
            )
            for r, texts in enumerate(self._taken.rounds)
            for i, place in enumerate(self._places())
        ]
        return (*asked, *readings)

    def _label(self, name: str) -> str:
        """The straight edge is laid from end to end; a chord is moved along the part."""
        along = {EDGE: "along the straight edge", RISE: "along the part"}[self._taken.by]
        return f"Length {along}" if name == "length" else ASKED[name][0]

    def _keys(self, found: core.Original | None) -> tuple[Key, ...]:
        ways = (Key(f"by:{way}", text, chosen=way == self._taken.by) for way, text in WAYS.items())
        more = len(self._taken.rounds) < MOST_ROUNDS
        return (
            Key("take", "Take this line", main=True, enabled=found is not None, why="not enough is read yet"),
            *ways,
            Key("symmetric", "Alike on both sides", chosen=self._taken.symmetric, why="of its middle"),
            Key("round", "Read once more", enabled=more, why="repeats show how good a reading is"),
            Key("clear", "Clear"),
        )

    def _places(self) -> list[float]:
        """Places to read at, mm; none while it is not known how long and how often."""
        try:
            length, pitch = (_mm(self._taken.text(name)) for name in ("length", "pitch"))
            from_end = 0.5 * _mm(self._taken.text("chord")) if self._taken.by == RISE else 0.0
        except core.InputError:
            return []
        span = length - 2.0 * from_end
        if pitch <= 0.0 or span <= 0.0 or span / pitch > MOST_PLACES:
            return []
        inner = from_end + pitch * np.arange(int(np.ceil(span / pitch - 1e-9)))
        return [*inner.tolist(), length - from_end]

    def _found(self) -> tuple[core.Original | None, str]:
        """The line, or why there is none."""
        places = self._places()
        if not places:
            return None, f"Length and distance are wanted first, for at most {MOST_PLACES} places."
        try:
            return core.original(self._document(places)), ""
        except core.InputError as error:
            return None, wording.capital(wording.sentence(error))

    def _document(self, places: list[float]) -> dict[str, Any]:
        taken = self._taken
        readings = [
            [places[int(i)], _mm(text)]
            for texts in taken.rounds
            for i, text in texts.items()
            if int(i) < len(places) and text.strip() and not _complaint(text)
        ]
        document = {"by": taken.by, "symmetric": taken.symmetric, "readings_mm": readings or [[0, 0]]}
        document["reading_sd_mm"] = _mm(taken.text("sd"))
        if taken.by == RISE:
            return document | {"length_mm": places[-1] + places[0], "chord_mm": 2.0 * places[0]}
        return document | {"ends_mm": [places[0], places[-1]]}

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
        self.session.shop.settings.set(STORED, {**asdict(taken), "rounds": list(taken.rounds)})

    def _take(self, _: str) -> str:
        found, wrong = self._found()
        if found is None:
            raise core.InputError("original", None, wrong)
        self.session.line_taken = dict(found.line)
        return "setup"


def _mm(text: str) -> float:
    return core.parse_reading_mm(text, "reading")


def _complaint(text: str) -> str:
    if not text.strip():
        return ""
    try:
        _mm(text)
    except core.InputError as error:
        return wording.sentence(error)
    return ""


def _facts(found: core.Original) -> tuple[Fact, ...]:
    line = found.measured
    return (
        Fact("The line is known to", f"± {wording.length(wording.Z95 * found.sd_mm)}", big=True),
        Fact("At worst", f"± {wording.length(wording.Z95 * float(line.sd_mm.max()))}"),
        Fact("Length", wording.length(line.length_mm)),
        Fact("A reading is off by", wording.length(found.spots.reading_sd_mm)),
    )
