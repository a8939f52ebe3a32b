"""What the Metal screen shows: a metal's figures in rows, its picture, what to watch for."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.picture_views import Picture
from shopapp.presenters.pieces import Header, Key


@dataclass(frozen=True)
class FigureRow:
    """One figure. value : with its unit; tail : where it is from, or what more there is to say"""

    label: str
    value: str
    tail: str


@dataclass(frozen=True)
class MetalView:
    """Metal. also : other names and family, a sentence, or ""; rows : its figures, then what follows for
    the job; watch : sentences of what to watch for"""

    header: Header
    also: str
    picture: Picture | None
    rows: tuple[FigureRow, ...]
    watch: tuple[str, ...]
    keys: tuple[Key, ...]
    complaint: str = ""
    go: str = ""
