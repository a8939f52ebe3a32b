"""What the Set-up screen shows: fields, tables, the line as drawn so far, the plan in short."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.picture_views import Picture
from shopapp.presenters.pieces import Fact, Header, Key, Outline

LENGTHS = ("mm", "cm", "in")
UNIT_KEYS: dict[str, tuple[str, ...]] = {
    "mm": LENGTHS,
    "°": ("°",),
    "%": ("%",),
    "MPa": ("MPa",),
    "GPa": ("GPa",),
    "mm/s": ("mm/s", "m/min"),
    "min": ("min", "s"),
}
"""what may be typed behind a number by the unit that is shown beside it; of others there are no keys"""


@dataclass(frozen=True)
class FieldView:
    """One field of the set-up. kind : "text", "number" or "choice"; value : kept as typed even when wrong;
    unit : shown beside it; complaint : what is wrong, else ""; beside : in one row with the field before;
    unit_keys : units that there are keys for while a number is typed"""

    name: str
    label: str
    kind: str
    value: str
    unit: str = ""
    hint: str = ""
    choices: tuple[Key, ...] = ()
    complaint: str = ""
    beside: bool = False
    unit_keys: tuple[str, ...] = LENGTHS


@dataclass(frozen=True)
class TableView:
    """Rows of typed numbers (segments, offsets, traced points). rows : cells named "name[row].column" """

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[FieldView, ...], ...]
    keys: tuple[Key, ...]
    complaint: str = ""


@dataclass(frozen=True)
class SetupView:
    """Set-up. steps : one key a step, text with its count of complaints; preview : plan in short, facts;
    outline : the line as typed so far, None while it cannot be drawn; side_text : which side of it is worked;
    pictures : of what the open step asks for, in place of the line; start_from : on the plan, what is known
    of the metal's response beforehand and where from"""

    header: Header
    steps: tuple[Key, ...]
    title: str
    fields: tuple[FieldView, ...]
    table: TableView | None
    outline: Outline | None
    line_text: str
    preview: tuple[Fact, ...]
    complaints: tuple[str, ...]
    warnings: tuple[str, ...]
    keys: tuple[Key, ...]
    side_text: str = ""
    pictures: tuple[Picture, ...] = ()
    start_from: tuple[str, ...] = ()
    current: str = ""
    busy: str = ""
    go: str = ""
