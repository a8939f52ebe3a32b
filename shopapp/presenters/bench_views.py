"""What the bench shows: a card for each part, files that need help."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import Header, Key, Point


@dataclass(frozen=True)
class Card:
    """A part on the bench. history_mm : widest gap after each pass, for the falling line, the widest of them
    and the tolerance also written (history_text, limit_text); in_set : "part 3 of 6", "" for
    one that is alone"""

    part_id: str
    name: str
    set_text: str
    outline: tuple[Point, ...]
    history_mm: tuple[float, ...]
    tolerance_mm: float
    widest: str
    next: str
    state: str
    state_text: str
    history_text: str = ""
    limit_text: str = ""
    in_set: str = ""


@dataclass(frozen=True)
class Damaged:
    """A file that cannot be read. text : what happened; restore : key, off when there is no good copy;
    accept : key that takes it as it stands, None where nothing can be read"""

    part_id: str
    name: str
    text: str
    restore: Key
    accept: Key | None = None


@dataclass(frozen=True)
class BenchView:
    """Bench. empty : what to do first when there is no card, else ""; sought : as typed into the search;
    more : that there are more cards than are shown, else ""; who : works, in a few words"""

    header: Header
    cards: tuple[Card, ...]
    damaged: tuple[Damaged, ...]
    empty: str
    keys: tuple[Key, ...]
    finished: bool = False
    sought: str = ""
    more: str = ""
    who: str = ""
    complaint: str = ""
    go: str = ""
