"""Finish check: every check with gauge, value, limit and verdict; who checked; sign-off."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import WIDE, Area
from shopapp.presenters.pieces import Key, with_unit
from shopapp.presenters.views import CheckRow, FinishView
from shopapp.screens.typing import TypingScreen
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow

WHO, CONCESSION, PHOTO, ROW = "who", "concession", "photo", "row:"
TEXTS = {
    WHO: ("Checked by", "touch and type the name"),
    CONCESSION: ("Concession, where a check is outside", "none"),
    PHOTO: ("Photo, a file below the shop's data", "none"),
}


class FinishScreen(TypingScreen):
    """The list of checks; touching one brings its keys, touching the name brings letters."""

    view: FinishView | None

    def choose(self, field: str) -> None:
        """A check is chosen by the presenter; name, concession and photo are fields of their own."""
        if field not in ("", *TEXTS):
            self.presenter.press(ROW + field)
        super().choose(field)

    def press(self, name: str) -> None:
        """Touching a check starts its entry; its keys are the presenter's."""
        verb, _, rest = name.partition(":")
        if verb == "row" and self._row_named(rest).editable:
            self.choose(rest)
        elif self._checking() and verb in ("digit", "erase", "enter", "value", "not_needed"):
            self.take(self.presenter.press(name))
            self._follow()
        elif name == "list":
            self.choose("")
        else:
            super().press(name)

    def typed(self, text: str) -> None:
        """Letters go to the name or the concession, digits to the check that is being read.

        With every check read and no field chosen the name is what is left to write.
        """
        if not self.field and self.view is not None and not self.view.closed and self._all_read():
            self.field = WHO
        if self.field in TEXTS:
            super().typed(text)
        elif self.view is not None and not self.view.closed:
            self.field = self.field or self._current()
            self.take(self.presenter.typed(text))

    def enter(self) -> None:
        """Enter takes the value of a check and goes on to the next one."""
        if self._checking():
            self.take(self.presenter.typed("\n"))
            self._follow()
        elif self.field == PHOTO:
            self.choose(self._current())
        else:
            super().enter()

    def lay(self, area: Area, shape: str) -> None:
        """The list alone, in two columns on a wide screen, or the entry with its keys."""
        view = self.view
        assert view is not None
        if self.field:
            self.lay_typing(area, shape, self._entry_blocks(shape), self._entry_keys())
            return
        self.lay_header(area)
        wide = shape == WIDE
        self.lay_pages(self.blocks(), area, 1 if wide else self.most_rows[shape], 2 if wide else 1)

    def question(self) -> str:
        """Why it cannot be signed off yet."""
        assert self.view is not None
        return "" if self.field else self.view.needs

    def blocks(self) -> Sequence[Any]:
        """The checks, the name, the concession, the signature."""
        view = self.view
        assert view is not None
        signed = [
            self.kept(text, lambda t=text, i=i: Sentence(t, "todo" if i else "ok", bold=not i))
            for i, text in enumerate(view.signed)
        ]
        warnings = [self.kept(("warning", t), lambda t=t: Sentence(t, "todo")) for t in view.warnings]
        rows = [self._check(row, False) for row in view.rows]
        return [*signed, *warnings, *rows, self._text_row(WHO), self._text_row(CONCESSION)]

    def fields_in_order(self) -> list[str]:
        """Only the name and the concession are typed as text."""
        return [WHO]

    def value_of(self, field: str) -> str:
        """What a text field holds now."""
        assert self.view is not None
        return {WHO: self.view.who, PHOTO: self.view.photo or ""}.get(field, self.view.concession)

    def _entry_blocks(self, shape: str) -> list[Any]:
        view = self.view
        assert view is not None
        if self.field in TEXTS:
            first = self._text_row(self.field)
            return [first, *(self._check(row, False) for row in view.rows if shape == WIDE)]
        current = [self._check(row, True) for row in view.rows if row.name == self.field]
        current += [] if view.photo is None else [self._text_row(PHOTO)]
        return [*current, *(self._check(row, False) for row in view.rows if row.name != self.field)]

    def _entry_keys(self) -> tuple[Key, ...]:
        view = self.view
        assert view is not None
        if self.field in TEXTS:
            return self.typing_keys("text")
        undo = tuple(k for k in view.keys if k.name == "undo")
        photo = () if view.photo is None else (Key("field:" + PHOTO, "Other photo"),)
        return (*view.pad, *photo, *undo, Key("list", "All checks"))

    def _checking(self) -> bool:
        return bool(self.field) and self.field not in TEXTS

    def _current(self) -> str:
        assert self.view is not None
        return next((row.name for row in self.view.rows if row.current), "")

    def _all_read(self) -> bool:
        assert self.view is not None
        return all(row.verdict != "not read" for row in self.view.rows if row.editable)

    def _follow(self) -> None:
        """Stay with the check that the presenter asks for next; none left: back to the list."""
        current = self._current()
        if current != self.field:
            self.choose(current)
        elif self._row_named(current).verdict != "not read" and not self._row_named(current).complaint:
            self.choose("")

    def _row_named(self, name: str) -> CheckRow:
        assert self.view is not None
        return next(row for row in self.view.rows if row.name == name)

    def _check(self, row: CheckRow, editing: bool) -> FieldRow:
        def make() -> FieldRow:
            photo = f", photo {row.photo.rpartition('/')[2]}" if row.photo else ""
            limit = f"{row.label}, {row.limit}, by {row.gauge}{photo}"
            shown = with_unit(row.value, row.unit) if row.value else ""
            value = f"{shown}, {row.verdict}" if shown and shown != row.verdict else row.verdict
            made = FieldRow(
                ROW + row.name,
                limit,
                row.value if editing else value,
                row.unit if editing else "",
                complaint=row.complaint,
                state=row.state,
                editing=editing,
                enabled=row.editable,
            )
            made.bind(on_touched=lambda made: self.press(made.name) if made.enabled else None)
            return made

        return self.kept((row, editing), make)

    def _text_row(self, name: str) -> FieldRow:
        view = self.view
        assert view is not None
        label, hint = TEXTS[name]
        editing = self.field == name

        def make() -> FieldRow:
            row = FieldRow(
                "field:" + name,
                label,
                self.value_of(name),
                hint=hint,
                editing=editing,
                enabled=not view.closed,
            )
            row.bind(on_touched=lambda row: self.press(row.name) if row.enabled else None)
            return row

        return self.kept((name, self.value_of(name), editing, view.closed), make)
