"""What the screen of all that the shop owns shows: a list of one kind, or one thing with its figures."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.metal_views import FigureRow
from shopapp.presenters.pieces import PLAIN, Header, Key


@dataclass(frozen=True)
class InventoryRow:
    """A thing in the list. name : of the key that opens it; label : what it is; value : what it holds;
    state : to be looked at where its calibration is past"""

    name: str
    label: str
    value: str
    state: str = PLAIN


@dataclass(frozen=True)
class InventoryView:
    """What the shop owns. rows : the list of one kind, () once one of them is open; figures : what that one
    holds; sentences : how things get here, what forgetting does; damaged : what cannot be read; question :
    asked before anything is forgotten, else "" """

    header: Header
    keys: tuple[Key, ...]
    listing: bool
    rows: tuple[InventoryRow, ...] = ()
    figures: tuple[FigureRow, ...] = ()
    sentences: tuple[str, ...] = ()
    damaged: tuple[str, ...] = ()
    question: str = ""
    complaint: str = ""
    go: str = ""
