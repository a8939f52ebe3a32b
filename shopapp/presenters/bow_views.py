"""What the Bow screen shows: the sides to choose from, then the size as it is typed; or counter-work."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.picture_views import Picture
from shopapp.presenters.pieces import Fact, Header, Key, Strip


@dataclass(frozen=True)
class BowView:
    """Bow. steps : how to read it; facts : what is expected; keys : sides, or how to go back to them;
    pad : keys of the size, () until the side is chosen; entry, entry_unit, side : size as typed yet, and
    where the middle stands out to; question : what is asked now; picture : the section, +z upwards;
    strip : strokes of counter-work, None while it is not shown"""

    header: Header
    question: str
    steps: tuple[str, ...]
    facts: tuple[Fact, ...]
    keys: tuple[Key, ...]
    pad: tuple[Key, ...] = ()
    entry: str = ""
    entry_unit: str = "mm"
    side: str = ""
    picture: Picture | None = None
    strip: Strip | None = None
    complaint: str = ""
    go: str = ""
