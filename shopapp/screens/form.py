"""Screens of fields and a table that are typed into: their rows, and the keys of a field."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from shopapp.presenters.pieces import Key
from shopapp.presenters.views import FieldView, TableView
from shopapp.screens.typing import TypingScreen
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.side_by_side import SideBySide

FIELD = "field:"


class FormScreen(TypingScreen):
    """Of a view with fields, and perhaps a table."""

    def choose(self, field: str) -> None:
        """When typing ends, the page with the field that was typed into is shown."""
        left = FIELD + self.field
        if field or not self.field:
            super().choose(field)
            return
        self.end_typing()
        self.pages.turn_to(lambda block: left in names_of(block))
        self.take(self.presenter.view())

    def press(self, name: str) -> None:
        """A finished choice, or a row that is dropped, ends typing."""
        if name.partition(":")[0] in ("choose", "row_drop"):
            self.field, self.pages.page = "", 0
        super().press(name)

    def fields_in_order(self) -> list[str]:
        """Fields first, then the cells of the table row by row; choices are touched, not typed."""
        return [field.name for field in self.all_fields() if field.kind != "choice"]

    def value_of(self, field: str) -> str:
        """What a field holds now."""
        found = self.view_of(field)
        return found.value if found is not None else ""

    def all_fields(self) -> list[FieldView]:
        """Fields and cells of the table."""
        table = self._table()
        return [*self._fields(), *(cell for row in (table.rows if table is not None else ()) for cell in row)]

    def view_of(self, name: str) -> FieldView | None:
        """The field or cell of this name."""
        return next((field for field in self.all_fields() if field.name == name), None)

    def is_number(self, field: str) -> bool:
        """Whether it takes a figure."""
        found = self.view_of(field)
        return found is not None and found.kind == "number"

    def keys_of(self, field: FieldView) -> tuple[Key, ...]:
        """Keys that fill a field in: what there is to choose from, else letters or figures."""
        if field.kind == "choice":
            return (*field.choices, Key(FIELD, "Leave as is", main=True))
        return self.typing_keys(field.kind, field.unit_keys)

    def key_data(self) -> tuple[Key, ...]:
        """Keys of the view, with the table's "add a row"."""
        view, table = self.view, self._table()
        assert view is not None
        added = () if table is None else (key for key in table.keys if key.name == "row_add")
        return (*view.keys[:1], *added, *view.keys[1:])

    def row(self, field: FieldView, editing: bool = False) -> FieldRow:
        """One field."""

        def make() -> FieldRow:
            value = _chosen(field) if field.kind == "choice" else field.value
            typed = editing and field.kind != "choice"
            shown = (
                self._placed(field) if editing else field.label,
                value,
                field.unit,
                field.hint,
                self._wrong(field) if editing else field.complaint,
            )
            row = FieldRow(FIELD + field.name, *shown, editing=typed, anew=anew)
            row.bind(on_touched=lambda row: self.press(row.name))
            return row

        anew = editing and self.anew
        return self.kept((field, editing, anew, self._wrong(field)), make)

    def _wrong(self, field: FieldView) -> str:
        """What is wrong with it, else with its table as a whole, whose head is out of sight while typing."""
        table = self._table()
        rows = () if table is None else table.rows
        of_table = any(cell.name == field.name for cells in rows for cell in cells)
        return field.complaint or (table.complaint if table is not None and of_table else "")

    def _placed(self, field: FieldView) -> str:
        """Its label, in a table with the number of its row, which is not to be seen while it is typed."""
        table = self._table()
        rows = () if table is None else table.rows
        at = next((i for i, cells in enumerate(rows) if any(cell.name == field.name for cell in cells)), None)
        return field.label if at is None else f"Row {at + 1} of {len(rows)}: {field.label}"

    def field_rows(self) -> list[Any]:
        """All fields, those that belong together beside each other."""
        return [self._together(fields) for fields in _grouped(self._fields())]

    def table_rows(self) -> list[Any]:
        """What is wrong with the table as a whole; each row, its cells beside each other, with a key that
        drops it."""
        table = self._table()
        if table is None:
            return []
        drops, wrong = {key.name: key for key in table.keys}, table.complaint
        head = [self.kept(("table", wrong), lambda: Sentence(wrong, "todo"))] if wrong else []
        rows = (self._together(cells, drops.get(f"row_drop:{i}")) for i, cells in enumerate(table.rows))
        return [*head, *rows]

    def _together(self, fields: tuple[FieldView, ...], drop: Key | None = None) -> Any:
        if len(fields) == 1 and drop is None:
            return self.row(fields[0])
        rows = [self.row(field) for field in fields]
        row = self.kept((fields, drop), lambda: SideBySide(rows, drop, self.press))
        row.gather()
        return row

    def _fields(self) -> tuple[FieldView, ...]:
        view: Any = self.view
        return tuple(view.fields)

    def _table(self) -> TableView | None:
        view: Any = self.view
        table: TableView | None = view.table
        return table


def names_of(block: Any) -> tuple[str, ...]:
    """Names of the fields in a block, as keys."""
    names: tuple[str, ...] = getattr(block, "names", ())
    return names


def _grouped(fields: tuple[FieldView, ...]) -> Iterator[tuple[FieldView, ...]]:
    """Fields with those that stand beside them."""
    group: tuple[FieldView, ...] = ()
    for field in fields:
        if group and not field.beside:
            yield group
            group = ()
        group = (*group, field)
    if group:
        yield group


def _chosen(field: FieldView) -> str:
    return next((key.text for key in field.choices if key.chosen), field.value)
