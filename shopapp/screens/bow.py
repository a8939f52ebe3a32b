"""Bow: which way the middle stands out, then how far by number keys; or counter-work against it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.areas import LOW, WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import BowView
from shopapp.screens.base import COLUMN_MM, ROOMY_MM, Screen, load_kv
from shopapp.screens.placing import margined, put, with_further
from shopapp.sizes import COUNTS_MM, GAP_MM, line_mm
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.drawings import StripBlock
from shopapp.widgets.look import look
from shopapp.widgets.picture import PictureBlock

load_kv(__file__)
PINNED = ("erase",)
ABREAST = 2
"""Keys of the sides in a row"""


class BowScreen(Screen):
    """The section beside the sides to choose from; then what is typed beside the number keys."""

    entry = ObjectProperty(None)
    strip = ObjectProperty(None)
    view: BowView | None
    typed_text = True

    def lay(self, area: Area, shape: str) -> None:
        """The sides under what is expected; once one is chosen, the number keys; or counter-work."""
        view = self.view
        assert view is not None
        self.hide([w for w in self.children if isinstance(w, PictureBlock | StripBlock)])
        if view.strip is not None:
            self._hide_entry()
            super().lay(area, shape)
        elif view.pad:
            self._lay_size(area, shape)
        else:
            self._lay_sides(area, shape)

    def _lay_sides(self, area: Area, shape: str) -> None:
        """Keys of one size, as neither side is to be touched rather than the other."""
        self._hide_entry()
        self.lay_header(area)
        gap, data, drawings, blocks = look.px(GAP_MM), self.key_data(), self.drawings(), list(self.blocks())
        if shape == WIDE:
            column = area.right(look.px(COLUMN_MM), gap)
            self.lay_drawings(drawings, margined(area))
            keys = column.bottom(self.keys.height_of(-(-len(data) // ABREAST)), gap)
            self.pages.lay(blocks, margined(column), first_only=True)
            self.keys.lay_even(data, keys, ABREAST)
            return
        facts = len(self.view.facts) if self.view else 0
        blocks = [*blocks[:facts], *drawings, *blocks[facts:]]  # the section before how it is read
        rows = -(-(len(data) + 1) // ABREAST)  # with the key that turns pages
        if shape == LOW:
            keys = area.right(look.px(COLUMN_MM), gap)
            keys = keys.bottom(self.keys.height_of(rows))
        else:
            keys = area.bottom(self.keys.height_of(rows), gap)
        count = self.pages.lay(blocks, margined(area))
        self.keys.lay_even(with_further(data, self.pages.page, count) if count > 1 else data, keys, ABREAST)

    def _hide_entry(self) -> None:
        put(self.entry, Area(0, 0, 0, 0))
        self.entry.text = ""

    def _lay_size(self, area: Area, shape: str) -> None:
        """What was typed, its side, and what is expected where there is room."""
        view = self.view
        assert view is not None
        content, keys = self.pad_areas(area, shape)
        content = margined(content)
        self.entry.text = f"{view.entry}_ {view.entry_unit}"
        put(self.entry, content.top(look.px(line_mm(COUNTS_MM)), look.px(GAP_MM)))
        side = self.kept(("side", view.side), lambda: Sentence(view.side, bold=True))
        self.pages.lay([side, *self.blocks()], content, first_only=True)
        self.keys.lay(self.key_data(), keys, PINNED, self.pad_main(shape, digits=True))

    def drawings(self) -> Sequence[Any]:
        """The section, or the strokes of counter-work."""
        assert self.view is not None
        if self.view.strip is not None:
            self.strip.captioned, self.strip.strip = not self.small, self.view.strip
            return (self.strip,)
        picture, bare = self.view.picture, self.small or self.height <= look.px(ROOMY_MM)
        if picture is None:
            return ()
        return (self.kept((picture, bare), lambda: PictureBlock(picture, bare=bare)),)  # as large as can be

    def question(self) -> str:
        """What is asked now."""
        assert self.view is not None
        return self.view.question

    def key_data(self) -> tuple[Key, ...]:
        """Number keys once the side is chosen."""
        assert self.view is not None
        return (*self.view.pad, *super().key_data())

    def blocks(self) -> Sequence[Any]:
        """What is expected, and how it is read; what comes first of counter-work, and what to strike."""
        view = self.view
        assert view is not None
        facts = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.facts]
        steps = [self.kept(s, lambda s=s: Sentence(s)) for s in view.steps]
        return [*facts, *steps] if view.strip is None else [*steps, *facts]
