"""What the screens of dropped files show: a list of files, or one of them before it is taken."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.inventory_views import InventoryRow
from shopapp.presenters.pieces import Fact, Header, Key, Outline


@dataclass(frozen=True)
class LineFileView:
    """Files with target lines, or with jobs. rows : the list, () once a file is open; outline, facts : the
    line or the job in it that is looked at; warnings : what looks odd, or why it cannot be taken; sentences :
    what else there is to say; question : which unit, else ""; busy : while files are looked at or taken in;
    then : key that the screen touches by itself once this is painted, "" for none"""

    header: Header
    keys: tuple[Key, ...]
    listing: bool
    rows: tuple[InventoryRow, ...] = ()
    outline: Outline | None = None
    facts: tuple[Fact, ...] = ()
    warnings: tuple[str, ...] = ()
    sentences: tuple[str, ...] = ()
    question: str = ""
    busy: str = ""
    then: str = ""
    complaint: str = ""
    go: str = ""
