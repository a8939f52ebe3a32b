"""What the screen of own figures shows: what is known of a metal, and what the shop puts in its place."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.setup_views import FieldView, TableView


@dataclass(frozen=True)
class OwnMetalView:
    """Own figures. fields : one a figure; what is typed is the shop's own, the hint what is known else and
    from where; sentences : what to watch for, how it is annealed; keys : keep, forget; table : of bites, of a
    tool set"""

    header: Header
    fields: tuple[FieldView, ...]
    sentences: tuple[str, ...]
    keys: tuple[Key, ...]
    table: TableView | None = None
    complaint: str = ""
    current: str = ""
    busy: str = ""
    go: str = ""
