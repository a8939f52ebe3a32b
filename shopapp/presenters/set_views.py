"""What the screen of a set shows: its parts side by side, or a chart of them."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.picture_views import Picture
from shopapp.presenters.pieces import Header, Key


@dataclass(frozen=True)
class SetRow:
    """A set in the list of all. name : of the key that opens it"""

    name: str
    label: str
    value: str


@dataclass(frozen=True)
class SetLine:
    """A line of the table of parts. cells : (text, shorter text) each; head : the names of the columns;
    bold : something is to be looked at, its cells say what"""

    cells: tuple[tuple[str, str], ...]
    head: bool = False
    bold: bool = False


@dataclass(frozen=True)
class SetView:
    """Set. rows : of the list of all sets; table : the parts of one, () while a chart is shown; picture : the
    chart, else None; start : what the next part starts from; watch : sentences on what changed; sentences :
    on charts, capability, the next part"""

    header: Header
    keys: tuple[Key, ...]
    rows: tuple[SetRow, ...] = ()
    table: tuple[SetLine, ...] = ()
    picture: Picture | None = None
    start: str = ""
    watch: tuple[str, ...] = ()
    sentences: tuple[str, ...] = ()
    complaint: str = ""
    go: str = ""
