"""What was read off an original, as it was typed, and the line that it gives."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np

import core
from shopapp.presenters import mistakes, wording
from shopapp.presenters.session import Session

STORED, KEPT = "original", "original_kept"
"""names among the shop's settings: of the measurements at hand, and of those of another original"""
EDGE, RISE, TRACED = "straight edge", "rise over a chord", "traced points"
MOST_PLACES = 60
AT_MM = 1e-3
"""how far round a worn place its readings are left out"""
ROUND = ("shape",)
"""parts of a job that are measured from rim to rim and are alike on both sides of their middle"""
ASKED = {
    "length": ("Length", "such as 1200", ""),
    "chord": ("Chord", "such as 200", "200"),
    "pitch": ("A reading every", "such as 100", "100"),
    "points": ("Points traced", "such as 15", "15"),
    "sd": ("A reading may be off by", "such as 0.1", "0.1"),
}
NAMES = {EDGE: ("length", "pitch", "sd"), RISE: ("length", "chord", "pitch", "sd"), TRACED: ("points", "sd")}
"""of what is asked first, by the way of measuring"""
AXES = {"x": "along", "y": "up"}
TRACED_FIRST = f"How many points were traced is wanted first, at most {MOST_PLACES}."
TOO_FEW = "Both readings of five points or more are wanted."
FIRST = f"Length and distance are wanted first, for at most {MOST_PLACES} places."


@dataclass(frozen=True)
class Taken:
    """What was typed. by : the way; texts : by name; rounds : readings by slot, round after round; worn :
    slots of places that are left out. A slot is the number of a place, from 0, or that of a traced point
    after "x" (along) or "y" (up)"""

    by: str = EDGE
    symmetric: bool = False
    texts: dict[str, str] = field(default_factory=dict)
    rounds: tuple[dict[str, str], ...] = ({},)
    worn: tuple[str, ...] = ()

    def text(self, name: str) -> str:
        """What a field holds."""
        return self.texts.get(name, ASKED[name][2])

    def slots(self) -> dict[str, str]:
        """All that is to be read in a round, in the order of taking, each with what it is called."""
        if self.by == TRACED:
            places = [(i, axis) for i in range(self._points()) for axis in "xy"]
            return {f"{axis}{i}": f"Point {i + 1}, {AXES[axis]}" for i, axis in places}
        return {str(i): f"At {wording.size(place)}" for i, place in enumerate(self.places())}

    @staticmethod
    def spot(slot: str) -> str:
        """The slot that stands for the place."""
        return slot.replace("y", "x")

    def left_out(self) -> int:
        """Readings that lie on worn spots."""
        slots = {slot for slot in self.slots() if slot in self.worn}
        return sum(bool(texts.get(slot, "").strip()) for texts in self.rounds for slot in slots)

    def _points(self) -> int:
        text = self.text("points").strip()
        return int(text) if text.isascii() and text.isdigit() and int(text) <= MOST_PLACES else 0

    def places(self) -> list[float]:
        """Places to read at, mm; none while it is not known how long and how often."""
        try:
            length, pitch = (reading_mm(self.text(name)) for name in ("length", "pitch"))
            from_end = 0.5 * reading_mm(self.text("chord")) if self.by == RISE else 0.0
        except core.InputError:
            return []
        span = length - 2.0 * from_end
        if pitch <= 0.0 or span <= 0.0 or span / pitch > MOST_PLACES:
            return []
        inner = from_end + pitch * np.arange(int(np.ceil(span / pitch - 1e-9)))
        return [*inner.tolist(), length - from_end]

    def found(self, part: str) -> tuple[core.Original | None, str]:
        """The line as this part of a job may have it, or why there is none. A dish is alike on both sides of
        its middle."""
        if not self.slots():
            return None, TRACED_FIRST if self.by == TRACED else FIRST
        if self.by == TRACED and len(self._traced()) < 2:
            return None, TOO_FEW
        try:
            found = core.original(self._document() | ({"symmetric": True} if part in ROUND else {}))
            found.line_as(part)
        except core.InputError as error:
            return None, wording.capital(mistakes.sentence(error))
        return found, ""

    def _document(self) -> dict[str, Any]:
        sd_mm = reading_mm(self.text("sd"))
        document: dict[str, Any] = {"by": self.by, "symmetric": self.symmetric, "reading_sd_mm": sd_mm}
        if self.by == TRACED:
            return document | {"readings_mm": self._traced()}
        places = self.places()
        taken = [(place, texts.get(str(i), "")) for texts in self.rounds for i, place in enumerate(places)]
        readings = [[place, reading_mm(text)] for place, text in taken if _is_reading(text)]
        document["readings_mm"] = readings or [[0, 0]]
        worn = [place for i, place in enumerate(places) if str(i) in self.worn]
        if worn:
            document["worn_mm"] = [[place - AT_MM, place + AT_MM] for place in worn]
        if self.by == RISE:
            return document | {"length_mm": places[-1] + places[0], "chord_mm": 2.0 * places[0]}
        return document | {"ends_mm": [places[0], places[-1]]}

    def _traced(self) -> list[list[float]]:
        """Points of which both are read, but those on worn spots."""
        found = []
        for texts in self.rounds:
            for i in range(self._points()):
                both = [texts.get(f"{axis}{i}", "") for axis in "xy"]
                if f"x{i}" not in self.worn and all(map(_is_reading, both)):
                    found.append([reading_mm(text) for text in both])
        return found


def stored(session: Session, name: str) -> Taken | None:
    """What the shop's settings hold under this name."""
    plain = session.shop.settings.get(name)
    if plain is None:
        return None
    return Taken(**{**plain, "rounds": tuple(plain["rounds"]), "worn": tuple(plain.get("worn", ()))})


def store(session: Session, name: str, taken: Taken | None) -> None:
    """To disk; None: it is forgotten."""
    lists = {} if taken is None else {"rounds": list(taken.rounds), "worn": list(taken.worn)}
    plain = None if taken is None else {**asdict(taken), **lists}
    session.shop.settings.set(name, plain)


def reading_mm(text: str) -> float:
    """A length as it was typed, mm. Raises InputError."""
    return core.parse_reading_mm(text, "reading")


def _is_reading(text: str) -> bool:
    return bool(text.strip()) and not complaint(text)


def complaint(text: str) -> str:
    """What is wrong with a reading, "" for none or where nothing is typed."""
    if not text.strip():
        return ""
    try:
        reading_mm(text)
    except core.InputError as error:
        return mistakes.sentence(error)
    return ""
