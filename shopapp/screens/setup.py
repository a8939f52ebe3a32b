"""Set-up: a new part step by step; the line is drawn as it is typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.areas import LOW, TALL, WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import Picture, SetupView
from shopapp.screens.base import ROOMY_MM, load_kv
from shopapp.screens.form import FIELD, FormScreen, names_of
from shopapp.screens.placing import margined, with_further
from shopapp.sizes import GAP_MM
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.look import look
from shopapp.widgets.picture import PictureBlock

load_kv(__file__)
PICTURE_SHARE, CRAMPED_MM = 0.45, 22.0
"""share of the height that a picture above its fields takes at least; its least height on a small screen"""
LINE_MM, TYPED_MM = 30.0, 16.0
"""least height of the line; under a field that is typed into on a small screen, where it grows"""


class SetupScreen(FormScreen):
    """Steps as keys on top, the fields of the open step below, the line beside them."""

    outline = ObjectProperty(None)
    steps = ObjectProperty(None)
    view: SetupView | None
    _cramped = False

    def press(self, name: str) -> None:
        """Another step ends typing; a new row is there to be filled in."""
        if name.split(":")[0] in ("step", "forward", "back"):
            self.field = ""
            self.pages.page = 0
        super().press(name)
        if name == "row_add" and self.view is not None and self.view.table is not None:
            self.choose(self.view.table.rows[-1][0].name)

    def lay(self, area: Area, shape: str) -> None:
        """While typing: the field and its keys; else steps, fields and the line."""
        view = self.view
        assert view is not None
        self._cramped = shape == LOW or (shape == TALL and self.height <= look.px(ROOMY_MM))
        self.outline.outline = view.outline
        self.outline.high_mm = TYPED_MM if self.field and self._cramped else LINE_MM
        self.hide([w for w in self.children if w is self.outline or isinstance(w, PictureBlock)])
        if self.field:
            self.hide([self.steps])
            self._lay_field(area, shape)
            return
        self.lay_header(area)
        cramped = self._cramped
        if cramped:
            self.hide([self.steps])
        else:
            self._lay_steps(area, 8 if shape == WIDE else 4)
        if shape == WIDE:
            self._lay_wide(area)
        else:
            columns = 2 if shape == LOW else 1
            self._lay_narrow(area, shape, columns, cramped)

    def _lay_wide(self, area: Area) -> None:
        """Fields at the left; the line and what is known of it at the right, above the keys."""
        column = area.right(look.px(86), look.px(GAP_MM))
        data = self.key_data()
        rows = min(2, self.keys.rows_for(data, column.width))
        self.keys.lay(data, column.bottom(self.keys.height_of(rows), look.px(GAP_MM)))
        count = self.pages.lay(self.blocks(), margined(area))
        column = margined(column)
        self.lay_drawings(self._fitting(column), column)
        if count > 1:
            self.keys.lay(self._further(data), Area(self.keys.x, self.keys.y, *self.keys.size))

    def _lay_narrow(self, area: Area, shape: str, columns: int, cramped: bool) -> None:
        view = self.view
        assert view is not None
        data = self.key_data()
        if cramped:
            data = (*data, *self._step_keys())
        rows = min(self.most_rows[shape], self.keys.rows_for(data, area.width))
        keys = area.bottom(self.keys.height_of(rows), look.px(GAP_MM))
        if view.pictures and not cramped:
            count = self._lay_under_picture(area)
        else:
            count = self.pages.lay(self._with_drawings(), margined(area), columns)
        self.keys.lay(self._further(data) if count > 1 else data, keys)

    def _lay_under_picture(self, area: Area) -> int:
        """Fields, the picture of those that are shown above them; the number of pages."""
        place = area.top(PICTURE_SHARE * area.height, look.px(GAP_MM))
        count = self.pages.lay(self.blocks(), margined(area))
        self.lay_drawings(self._fitting(place), margined(place))
        return count

    def _lay_steps(self, area: Area, across: int) -> None:
        if self.steps.parent is None:
            self.add_widget(self.steps)
        rows = -(-len(self._step_keys()) // across)
        self.steps.lay_even(self._step_keys(), area.top(self.steps.height_of(rows), look.px(GAP_MM)), across)

    def _lay_field(self, area: Area, shape: str) -> None:
        """The field that is typed into, then those after it; the line below where there is room."""
        view = self.view_of(self.field)
        if view is None:
            self.choose("")
            return
        data = self.keys_of(view)
        order = self.fields_in_order()
        names = order[order.index(self.field) :] if self.field in order else [self.field]
        shown = [field for field in map(self.view_of, names) if field is not None]
        blocks = [self.row(field, field.name == self.field) for field in shown]
        self.lay_typing(area, shape, [blocks[0], *self.drawings()[:1], *blocks[1:]], data)

    def blocks(self) -> Sequence[Any]:
        """Fields, the table's rows, what is wrong elsewhere, the plan in short."""
        view = self.view
        assert view is not None
        rows: list[Any] = [*self.field_rows(), *self.table_rows()]
        side, line = (
            [self.kept(("line", text), lambda text=text: Sentence(text))] if text else []
            for text in (view.side_text, view.line_text)
        )
        wrong = [self.kept(("wrong", c), lambda c=c: Sentence(c, "todo")) for c in view.complaints]
        warnings = [self.kept(("warning", w), lambda w=w: Sentence(w, "todo")) for w in view.warnings]
        facts: list[Any] = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.preview]
        facts += [self.kept(("from", text), lambda text=text: Sentence(text)) for text in view.start_from]
        if view.table is None:  # what to mind before the passes, which may go over several pages
            return [*rows, *wrong, *facts[:1], *warnings, *side, *facts[1:], *line]
        before = len(view.fields)  # what is said of the table stands at its head
        return [*rows[:before], *side, *rows[before:], *wrong, *warnings, *facts, *line]

    def drawings(self) -> Sequence[Any]:
        """The line, or the pictures of the step: of a field that is typed into, else of those that are shown,
        the one first that most of its fields are shown of."""
        view = self.view
        assert view is not None
        if view.outline is not None:
            return [self.outline]
        rows = [row for row in self.pages.walk(restrict=True) if isinstance(row, FieldRow)]
        shown = [self.field] if self.field else [row.name.removeprefix(FIELD) for row in rows]
        belong = {p: sum(_first(name) in p.fields for name in shown) for p in view.pictures}
        of_all = {p: sum(_first(field.name) in p.fields for field in self.all_fields()) for p in belong}
        ranked = sorted((p for p in belong if belong[p]), key=lambda p: -belong[p] / of_all[p])
        return [self._picture(p) for p in ranked]

    def _fitting(self, area: Area) -> list[Any]:
        """The first of the drawings, and those after it as long as all fit under each other."""
        drawings = list(self.drawings())
        while len(drawings) > 1:
            high = sum(drawing.height_for(area.width) + look.px(GAP_MM) for drawing in drawings)
            if high <= area.height + look.px(GAP_MM):
                break
            drawings.pop()
        return drawings

    def _picture(self, picture: Picture) -> PictureBlock:
        """On a small screen there is room for little more than the drawing."""
        bare = self._cramped
        least = {"least_mm": CRAMPED_MM} if bare else {}
        return self.kept((picture, bare), lambda: PictureBlock(picture, bare=bare, **least))

    def _with_drawings(self) -> list[Any]:
        """The blocks, each picture after the first of its fields; the line after all of them."""
        view = self.view
        assert view is not None
        blocks = list(self.blocks())
        for picture in view.pictures:
            fields = [i for i, b in enumerate(blocks) if any(_belongs(n, picture) for n in names_of(b))]
            blocks.insert(fields[0] + 1 if fields else len(blocks), self._picture(picture))
        return blocks if view.outline is None else [*blocks, self.outline]

    def _step_keys(self) -> tuple[Key, ...]:
        assert self.view is not None
        return self.view.steps

    def _further(self, data: Sequence[Key]) -> tuple[Key, ...]:
        return with_further(data, self.pages.page, self.pages.count)


def _first(name: str) -> str:
    """First part of a field's name."""
    return name.partition(".")[0]


def _belongs(row: str, picture: Picture) -> bool:
    return _first(row.removeprefix(FIELD)) in picture.fields
