"""Rows of a form that is typed: its fields, and the cells of its table."""

from __future__ import annotations

from collections.abc import Mapping

from shopapp.presenters import setup_draft
from shopapp.presenters.pieces import Key
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import BITES, CHECKS, SETTINGS, Field, Table
from shopapp.presenters.setup_views import UNIT_KEYS, FieldView, TableView

MOST_ROWS = 40
"""rows of a table that are shown to be typed into; a longer one came from a file"""
KINDS = {BITES.name: ("text", "number", "text"), CHECKS.name: ("text",)}
"""of the cells of each column, numbers where nothing is said"""


def field_view(draft: Draft, spec: Field, found: Mapping[str, str]) -> FieldView:
    """One field as typed; found : complaint by field."""
    typed = draft.text(spec)
    own = bool(typed.strip()) and setup_draft.with_unit(typed, spec.unit) == typed.strip()
    return FieldView(
        spec.name,
        spec.label,
        spec.kind,
        typed,
        "" if own else spec.unit,
        spec.hint and f"such as {spec.hint}",
        choices=_choices(spec, typed),
        complaint=found.get(spec.name, ""),
        beside=spec.beside,
        unit_keys=UNIT_KEYS.get(spec.unit, ()),
    )


def _choices(spec: Field, now: str) -> tuple[Key, ...]:
    """What there is to choose from, a text of one's own among them."""
    options = dict.fromkeys((*spec.options, now)) if spec.options else ()
    return tuple(Key(f"choose:{spec.name}={text}", text, chosen=text == now) for text in options)


def is_long(draft: Draft, table: Table) -> bool:
    """Whether the table has too many rows to show one by one."""
    return len(draft.rows(table)) > MOST_ROWS


def cells(draft: Draft, table: Table) -> list[list[str]]:
    """Names of the cells, row by row."""
    columns = range(len(table.columns))
    if is_long(draft, table):
        return []
    return [[f"{table.name}[{i}][{k}]" for k in columns] for i in range(len(draft.rows(table)))]


def cell_of(table: Table, name: str) -> tuple[int, int] | None:
    """Row and column that a cell's name stands for; None where it is none of this table."""
    if not name.startswith(f"{table.name}["):
        return None
    row, column = name.removeprefix(f"{table.name}[").removesuffix("]").split("][")
    return int(row), int(column)


def typed_into(draft: Draft, table: Table, at: tuple[int, int], text: str) -> Draft:
    """The draft with this text in a cell."""
    rows = [list(row) for row in draft.rows(table)]
    rows[at[0]][at[1]] = text
    return draft.with_rows(table, tuple(tuple(row) for row in rows))


def with_row(draft: Draft, table: Table) -> Draft:
    """The draft with a blank row more."""
    return draft.with_rows(table, (*draft.rows(table), ("",) * len(table.columns)))


def without_row(draft: Draft, table: Table, index: int) -> Draft:
    """The draft without a row."""
    return draft.with_rows(table, tuple(row for i, row in enumerate(draft.rows(table)) if i != index))


def table_view(draft: Draft, table: Table, found: Mapping[str, str]) -> TableView:
    """The rows as typed, with the keys that add and drop them."""
    rows, kind = draft.rows(table), KINDS.get(table.name, ("number", "number"))
    shown = tuple(
        tuple(
            FieldView(name, table.columns[k][0], kind[k], rows[i][k], complaint=found.get(name, ""))
            for k, name in enumerate(names)
        )
        for i, names in enumerate(cells(draft, table))
    )
    drop = tuple(Key(f"row_drop:{i}", f"Drop {i + 1}", enabled=len(rows) > 1) for i in range(len(shown)))
    room = len(rows) < MOST_ROWS
    add = Key("row_add", "Add a row", enabled=room, why="" if room else "longer ones come from a file")
    keys = (add, *drop) if shown else ()
    return TableView(table.name, tuple(c for c, _ in table.columns), shown, keys, found.get(table.name, ""))


def bite_cell(draft: Draft, path: str) -> str:
    """The cell that a path of the document within the bites or their settings stands for; else the path."""
    for column, name in ((1, BITES.name), (2, SETTINGS)):
        bite = path.removeprefix(f"{name}.")
        for i, row in enumerate(draft.rows(BITES)):
            if bite != path and row[0].strip() == bite:
                return f"{BITES.name}[{i}][{column}]"
    return path
