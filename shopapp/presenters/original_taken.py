"""What was read off an original, as it was typed, and the line that it gives."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np

import core
from shopapp.presenters import wording
from shopapp.presenters.session import Session

STORED, KEPT = "original", "original_kept"
"""names among the shop's settings: of the measurements at hand, and of those of another original"""
EDGE, RISE = "straight edge", "rise over a chord"
MOST_PLACES = 60
ROUND = ("shape",)
"""parts of a job that are measured from rim to rim and are alike on both sides of their middle"""
ASKED = {
    "length": ("Length", "such as 1200", ""),
    "chord": ("Chord", "such as 200", "200"),
    "pitch": ("A reading every", "such as 100", "100"),
    "sd": ("A reading may be off by", "such as 0.1", "0.1"),
}


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
        places = self.places()
        if not places:
            return None, f"Length and distance are wanted first, for at most {MOST_PLACES} places."
        try:
            found = core.original(self._document(places) | ({"symmetric": True} if part in ROUND else {}))
            found.line_as(part)
        except core.InputError as error:
            return None, wording.capital(wording.sentence(error))
        return found, ""

    def _document(self, places: list[float]) -> dict[str, Any]:
        readings = [
            [places[int(i)], reading_mm(text)]
            for texts in self.rounds
            for i, text in texts.items()
            if int(i) < len(places) and text.strip() and not complaint(text)
        ]
        document = {"by": self.by, "symmetric": self.symmetric, "readings_mm": readings or [[0, 0]]}
        document["reading_sd_mm"] = reading_mm(self.text("sd"))
        if self.by == RISE:
            return document | {"length_mm": places[-1] + places[0], "chord_mm": 2.0 * places[0]}
        return document | {"ends_mm": [places[0], places[-1]]}


def stored(session: Session, name: str) -> Taken | None:
    """What the shop's settings hold under this name."""
    plain = session.shop.settings.get(name)
    return None if plain is None else Taken(**{**plain, "rounds": tuple(plain["rounds"])})


def store(session: Session, name: str, taken: Taken | None) -> None:
    """To disk; None: it is forgotten."""
    plain = None if taken is None else {**asdict(taken), "rounds": list(taken.rounds)}
    session.shop.settings.set(name, plain)


def reading_mm(text: str) -> float:
    """A length as it was typed, mm. Raises InputError."""
    return core.parse_reading_mm(text, "reading")


def complaint(text: str) -> str:
    """What is wrong with a reading, "" for none or where nothing is typed."""
    if not text.strip():
        return ""
    try:
        reading_mm(text)
    except core.InputError as error:
        return wording.sentence(error)
    return ""
