"""What the screen of who works shows: the names used before, and a new one as it is typed."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import PLAIN, Header, Key


@dataclass(frozen=True)
class WhoRow:
    """A name used before. name : of the key that takes it; label : whether it is the one that works now;
    value : the name itself; state : marks that one"""

    name: str
    label: str
    value: str
    state: str = PLAIN


@dataclass(frozen=True)
class WhoView:
    """Who works. rows : names used before, the last one first; typed : a new one, as far as it goes"""

    header: Header
    rows: tuple[WhoRow, ...]
    typed: str
    sentences: tuple[str, ...]
    keys: tuple[Key, ...]
    complaint: str = ""
    go: str = ""
