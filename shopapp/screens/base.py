"""What all screens share: header, keys, pages of blocks, three shapes to lay out by, and the keyboard."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from pathlib import Path
from typing import Any, ClassVar

from kivy.clock import Clock
from kivy.lang import Builder
from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from shopapp.areas import LOW, TALL, WIDE, Area, fitting, shape_of
from shopapp.presenters.pieces import Key as KeyData
from shopapp.screens.by_keyboard import ByKeyboard
from shopapp.screens.placing import FURTHER, margined, put, with_further
from shopapp.sizes import GAP_MM, NUMBER_KEY_MM
from shopapp.widgets.header import Header
from shopapp.widgets.key_block import KeyBlock
from shopapp.widgets.look import look
from shopapp.widgets.pages import Pages

COLUMN_MM = 86.0
"""Width of the keys beside the drawing: four of 20 mm with their gaps"""

PAD_ROWS, LETTER_ROWS, LETTERS_MAIN = 5, 4, (3, 1)
ALL_LETTERS, FIELD_MM = 8, 22.0  # rows that hold every letter, digit and sign upright; room for what is typed
PAD_MAIN, ROOMY_MM = (1, 2), 170.0
"""Columns and rows of the main key beside the digits on a small screen; height from which one is not small"""
__all__ = ["Header", "KeyBlock", "Pages", "Screen", "load_kv"]


def load_kv(module_file: str) -> None:
    """Load the kv file beside a module, once."""
    path = str(Path(module_file).with_suffix(".kv"))
    if path not in Builder.files:
        Builder.load_file(path, encoding="utf-8")


load_kv(__file__)


class Screen(ByKeyboard, Widget):
    """A presenter on the screen. presenter : decides; navigate : takes the name of the screen to go to;
    answer : in a demo, lets the bar be read by itself; came_from : screen before this one."""

    came_from = ""

    presenter = ObjectProperty(None)
    navigate = ObjectProperty(None)
    answer = ObjectProperty(None)
    header = ObjectProperty(None)
    keys = ObjectProperty(None)
    pages = ObjectProperty(None)
    typed_text = False
    """True where keys of a keyboard write into a field"""

    most_rows: ClassVar = {WIDE: 2, LOW: 1, TALL: 3}
    """Rows of keys at most, by shape"""

    def __init__(self, **kwargs: Any) -> None:
        self.view: Any = None
        self._told = ""
        self._blocks: dict[Hashable, Any] = {}
        self.small = False
        super().__init__(**kwargs)
        # width and height change one after the other: lay out once both have
        self._relay_soon = Clock.create_trigger(self.relay, -1)
        self.bind(pos=self._relay_soon, size=self._relay_soon)
        look.bind(px_per_mm=self._relay_soon)

    # what came from the presenter

    def leave(self) -> None:
        """Another screen is shown."""

    def open(self) -> None:
        """The screen is shown: ask the presenter what there is."""
        self.pages.page = 0
        self.keys.page = 0
        self.lose_focus()
        self.take(self.presenter.view())

    def take(self, view: Any) -> None:
        """Show a view, or move on to the screen that it names."""
        self._told = ""
        self.view = view
        if view.go:
            self.navigate(view.go)
        else:
            self.relay()

    def refresh(self) -> None:
        """Show what the presenter has now, such as an answer that came meanwhile; what was typed stays."""
        if self.view is not None:
            told = self._told
            self.take(self.presenter.view())
            if told:
                self.note(told)

    def press(self, name: str) -> None:
        """A key was touched."""
        if name == FURTHER:
            self.pages.turn()
            self.relay()
        else:
            self.take(self.presenter.press(name))

    def note(self, text: str) -> None:
        """Say something in the line of the header."""
        self._told = text
        self.relay()

    def back(self) -> None:
        """The back key."""
        if self.view is not None and self.view.header.back:
            self.navigate(self.view.header.back)

    # where things go

    def relay(self, *_: Any) -> None:
        """Lay everything out anew; what was typed is the presenter's and stays."""
        if self.view is None or min(self.size) < look.px(40):
            return
        area = Area(self.x, self.y, self.width, self.height)
        shape = shape_of(self.width / look.px_per_mm, self.height / look.px_per_mm)
        self.small = shape == LOW
        self.lay(area, shape)
        self._show_focus()

    def lay(self, area: Area, shape: str) -> None:
        """Header on top, keys at the right or the bottom, drawing and blocks in the rest."""
        gap = look.px(GAP_MM)
        drawings, blocks = self.drawings(), list(self.blocks())
        self.lay_header(area)
        if shape == WIDE:
            column = area.right(look.px(COLUMN_MM), gap)
            self.lay_drawings(drawings, margined(area))
            self.lay_pages(blocks, column, self.most_rows[WIDE])
        else:
            self.hide(drawings)
            self.lay_pages([*drawings, *blocks], area, self.most_rows[shape])

    def pad_areas(self, area: Area, shape: str, letters: bool = False) -> tuple[Area, Area]:
        """Areas of the content and of a block of many keys; the header is set out on the way.

        letters : the block is for many letters: more of a small screen than digits take, and the whole
        width of a wide one, so that all of them are on one page
        """
        gap = look.px(GAP_MM)
        if shape == LOW:
            keys = area.right(look.px((5 if letters else 4) * (NUMBER_KEY_MM + GAP_MM) - GAP_MM), gap)
            self.lay_header(area)
            return area, keys
        self.lay_header(area)
        if shape == WIDE and letters:
            keys = area.bottom(self.keys.height_of(LETTER_ROWS), gap)
        elif shape == WIDE:
            keys = area.right(look.px(COLUMN_MM), gap)
        else:
            roomy = self.height > look.px(ROOMY_MM)
            rows = PAD_ROWS if letters or roomy else PAD_ROWS - 1
            if letters and roomy:
                left = area.height - look.px(FIELD_MM)
                rows = min(ALL_LETTERS, fitting(left, look.px(NUMBER_KEY_MM), gap))
            keys = area.bottom(self.keys.height_of(rows), gap)
        return area, keys

    def pad_main(self, shape: str, digits: bool, letters: bool = False) -> tuple[int, int] | None:
        """Columns and rows of the main key of a block; None: as wide as the block."""
        if shape == WIDE and letters:
            return LETTERS_MAIN
        if shape == LOW:
            return PAD_MAIN if digits else (2, 1)
        return PAD_MAIN if digits and shape == TALL and self.height <= look.px(ROOMY_MM) else None

    def lay_header(self, area: Area, cautions: bool = True) -> None:
        """Cut the header from the top of an area."""
        view, header = self.view, self.header
        header.where = self.where()
        complaint = getattr(view, "complaint", "")
        header.note = self._told or complaint or getattr(view, "busy", "") or self.question()
        header.alarm = bool(self._told or complaint)
        back = bool(view.header.back)
        high = header.height_for(area.width, back, cautions)
        header.lay(area.top(high, look.px(GAP_MM)), back, cautions)

    def lay_pages(self, blocks: Sequence[Any], area: Area, most_rows: int, columns: int = 1) -> None:
        """Keys at the bottom, pages above; with more than one page a key turns them."""
        data = self.key_data()
        gap, whole = look.px(GAP_MM), area.all_of_it()
        rows = min(most_rows, self.keys.rows_for(data, area.width))
        keys = area.bottom(self.keys.height_of(rows), gap)
        if self.pages.lay(blocks, margined(area), columns) > 1:
            further = with_further(data, self.pages.page, self.pages.count)
            rows = min(most_rows, self.keys.rows_for(further, whole.width))
            keys = whole.bottom(self.keys.height_of(rows), gap)
            self.pages.lay(blocks, margined(whole), columns)
            data = with_further(data, self.pages.page, self.pages.count)
        self.keys.lay(data, keys)

    def lay_drawings(self, drawings: Sequence[Any], area: Area) -> None:
        """Drawings under each other in an area, sharing its height."""
        if not drawings:
            return
        wanted = [drawing.height_for(area.width) for drawing in drawings]
        gap = look.px(GAP_MM) * (len(drawings) - 1)
        for drawing, high in zip(drawings, wanted, strict=True):
            if drawing.parent is not None and drawing.parent is not self:
                drawing.parent.remove_widget(drawing)
            if drawing.parent is None:
                self.add_widget(drawing)
            share = (area.height - gap) * high / sum(wanted) if drawing is not drawings[-1] else area.height
            put(drawing, area.top(share, look.px(GAP_MM)))
            gap -= look.px(GAP_MM)

    def hide(self, drawings: Sequence[Any]) -> None:
        """Take drawings off the screen itself; the pages show them."""
        for drawing in drawings:
            if drawing.parent is self:
                self.remove_widget(drawing)

    def kept(self, what: Hashable, make: Callable[[], Any]) -> Any:
        """The block for a piece of the view, made once for each content."""
        if what not in self._blocks:
            if len(self._blocks) > 400:
                self._blocks.clear()
            self._blocks[what] = make()
        return self._blocks[what]

    # what a screen says of itself

    def where(self) -> str:
        """Where am I, and the unit."""
        header = self.view.header
        return f"{header.where}, in {header.unit}" if header.unit else header.where

    def question(self) -> str:
        """The one question that the screen answers, in the line of the header."""
        return ""

    def key_data(self) -> tuple[KeyData, ...]:
        """Keys to show: those of the view, without the cautions that the header holds."""
        return tuple(k for k in self.view.keys if k.name != "cautions" or k.main)

    def drawings(self) -> Sequence[Any]:
        """Drawings beside the blocks, or the first of them."""
        return ()

    def blocks(self) -> Sequence[Any]:
        """Blocks of the pages."""
        return ()
