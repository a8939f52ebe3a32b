"""Trial: the offcut with its spots and what to do with it; the rise by number keys; what it says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from kivy.properties import ObjectProperty

from shopapp.areas import WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import TrialView
from shopapp.screens.base import COLUMN_MM, Screen, load_kv
from shopapp.screens.placing import margined, put, with_further
from shopapp.sizes import COUNTS_MM, GAP_MM, line_mm
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.look import look

load_kv(__file__)
PINNED = ("erase",)
ANSWER = "answer"


class TrialScreen(Screen):
    """The strip beside its steps, or the number keys."""

    strip = ObjectProperty(None)
    entry = ObjectProperty(None)
    view: TrialView | None
    typed_text = True
    most_rows: ClassVar = {**Screen.most_rows, WIDE: 3}

    def press(self, name: str) -> None:
        """What is shown next begins on its first page. In a demo, the offcut itself can answer."""
        if name.partition(":")[0] in ("read", "plan", "gauge", "choose", "enter", ANSWER):
            self.pages.page, self.keys.page = 0, 0
        if name == ANSWER:
            self.take(self.answer())
        else:
            super().press(name)

    def lay(self, area: Area, shape: str) -> None:
        """Steps at the left, the strip above the keys; while the rise is typed, the number keys."""
        view = self.view
        assert view is not None
        self.hide([self.strip])
        if view.pad:
            self._lay_reading(area, shape)
            return
        put(self.entry, Area(0, 0, 0, 0))
        self.entry.text = ""
        if shape == WIDE:
            self._lay_wide(area)
        else:
            super().lay(area, shape)

    def _lay_wide(self, area: Area) -> None:
        self.lay_header(area)
        data = self.key_data()
        if self.keys.rows_for(data, area.width) == 1:  # all of them in a row at the foot
            keys = area.bottom(self.keys.height_of(1), look.px(GAP_MM))
            column = area.right(look.px(COLUMN_MM), look.px(GAP_MM))
        else:
            column = area.right(look.px(COLUMN_MM), look.px(GAP_MM))
            rows = min(self.most_rows[WIDE], self.keys.rows_for(data, column.width))
            keys = column.bottom(self.keys.height_of(rows), look.px(GAP_MM))
        self.lay_drawings(self.drawings(), column)
        if self.pages.lay(self.blocks(), margined(area)) > 1:
            data = with_further(data, self.pages.page, self.pages.count)
        self.keys.lay(data, keys)

    def _lay_reading(self, area: Area, shape: str) -> None:
        """What was typed, the last step, and the strip where there is room."""
        view = self.view
        assert view is not None
        content, keys = self.pad_areas(area, shape)
        content = margined(content)
        self.entry.text = f"{view.entry}_ {view.entry_unit}"
        put(self.entry, content.top(look.px(line_mm(COUNTS_MM)), look.px(GAP_MM)))
        last = [self.kept(s, lambda s=s: Sentence(s)) for s in view.steps[-1:]]
        self.pages.lay([*last, *self.drawings()], content, first_only=True)
        self.keys.lay(self.key_data(), keys, PINNED, self.pad_main(shape, digits=True))

    def question(self) -> str:
        """What is asked now."""
        assert self.view is not None
        return self.view.question

    def key_data(self) -> tuple[Key, ...]:
        """Number keys while the rise is typed."""
        assert self.view is not None
        demo = self.answer is not None and bool(self.view.pad)
        answers = (Key(ANSWER, "The offcut answers"),) if demo else ()
        return (*self.view.pad, *answers, *super().key_data())

    def drawings(self) -> Sequence[Any]:
        """The offcut with its spots."""
        view = self.view
        assert view is not None
        self.strip.captioned = not self.small
        self.strip.strip = view.strip
        return () if view.strip is None or self.small else (self.strip,)

    def blocks(self) -> Sequence[Any]:
        """What counts, what the rise said, what to do."""
        view = self.view
        assert view is not None
        facts = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.facts]
        said = [self.kept(("said", s), lambda s=s: Sentence(s, bold=True)) for s in view.answer]
        doubt = [self.kept(("doubt", view.doubt), lambda: Sentence(view.doubt, "todo"))] if view.doubt else []
        steps = [self.kept(s, lambda s=s: Sentence(s)) for s in view.steps]
        drawing = [self.strip] if self.small and view.strip is not None else []
        return [*facts, *doubt, *said, *steps, *drawing]
