"""Part: the line to scale with its deviation, the passes done and planned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.areas import TALL, WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import PartView
from shopapp.screens.base import COLUMN_MM, ROOMY_MM, Screen, load_kv
from shopapp.screens.placing import FURTHER, margined, with_further
from shopapp.sizes import GAP_MM
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.drawings import OUTLINE_MM
from shopapp.widgets.key_row import KeyRow, across
from shopapp.widgets.look import look
from shopapp.widgets.picture import PictureBlock
from shopapp.widgets.rows import pass_row

load_kv(__file__)
CRAMPED_MM = 20.0
"""Height of the drawing on a small screen held upright"""


class PartScreen(Screen):
    """The drawing beside the list, or before it on a small screen."""

    outline = ObjectProperty(None)
    view: PartView | None
    most_rows: dict[str, int]
    _foot: tuple[Key, ...] = ()
    _rest: tuple[Key, ...] = ()
    _across = 1
    _wide = False

    def take(self, view: PartView) -> None:
        """Show a view; what was just written, and where, stands on the first page."""
        news = bool(view.said) and (self.view is None or self.view.said != view.said)
        if news:
            self.pages.page = 0
        super().take(view)

    def lay(self, area: Area, shape: str) -> None:
        """As all screens; the drawing gives way where the next pass would not be on the first page."""
        cramped = shape == TALL and self.height <= look.px(ROOMY_MM)
        self.outline.high_mm = CRAMPED_MM if cramped else OUTLINE_MM
        self.most_rows = {**Screen.most_rows, TALL: 2} if cramped else Screen.most_rows
        self._wide = shape == WIDE
        self.hide([w for w in self.children if w is self.outline or isinstance(w, PictureBlock)])
        self._part_keys(area.width, 1 if shape == WIDE else self.most_rows[shape])
        column = look.px(COLUMN_MM) if shape == WIDE else area.width
        self._across = across(margined(Area(0, 0, column, 0)).width)
        if shape == WIDE:
            self._lay_wide(area)
        else:
            super().lay(area, shape)

    def _lay_wide(self, area: Area) -> None:
        """The many keys of a part in a row along the foot, so that few pages hold them."""
        gap, data = look.px(GAP_MM), self.key_data()
        self.lay_header(area)
        keys = area.bottom(self.keys.height_of(1), gap)
        column = area.right(look.px(COLUMN_MM), gap)
        self.lay_drawings(self.drawings(), margined(area))
        if self.pages.lay(list(self.blocks()), margined(column)) > 1:
            data = with_further(data, self.pages.page, self.pages.count)
        self.keys.lay(data, keys)

    def _part_keys(self, width: float, rows: int) -> None:
        """As many keys at the foot as there is room for beside the one that turns pages; the rest among the
        blocks, so that one key turns to everything."""
        page = Key(FURTHER, "Page 10 of 10")
        keys = tuple(key for key in super().key_data() if key.enabled or key.name != "undo")
        order = sorted(keys, key=lambda key: not key.main)
        most = next(
            (n for n in range(len(order), 0, -1) if self.keys.rows_for([page, *order[:n]], width) <= rows), 1
        )
        self._foot = tuple(key for key in keys if key in order[:most])
        self._rest = tuple(order[most:])

    def question(self) -> str:
        """A trial that the part could start from is named wherever its key is."""
        assert self.view is not None
        return self.view.offer

    def key_data(self) -> tuple[Key, ...]:
        """Those at the foot."""
        return self._foot

    def drawings(self) -> Sequence[Any]:
        """The line with the part beside it; on a low screen it comes after the next pass. In a column for
        drawings its cross-section below it, or the disc from above."""
        assert self.view is not None
        self.outline.outline = self.view.outline
        beside = self._picture() if self._wide else []
        return () if self.small else (self.outline, *beside)

    def _picture(self) -> list[PictureBlock]:
        picture = None if self.view is None else self.view.picture
        return [] if picture is None else [self.kept(picture, lambda: PictureBlock(picture))]

    def blocks(self) -> Sequence[Any]:
        """What counts and the next pass first, further keys, then those planned, those done from the last one
        back."""
        view = self.view
        assert view is not None
        facts = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.facts]
        warnings = [self.kept(("warning", w), lambda w=w: Sentence(w, "todo")) for w in view.warnings]
        reasons = [self.kept(r, lambda r=r: Sentence(r)) for r in view.reasons]
        rows = tuple(enumerate(view.rows))
        done, ahead = (
            [self.kept((i, r), lambda r=r: pass_row(r)) for i, r in rows if (r.status == "done") is is_done]
            for is_done in (True, False)
        )  # by their place too: the same step may have been done twice
        drawing = [self.outline] if self.small else []
        said = [Sentence(view.said)] if view.said else []
        first = [*said, *facts[:2], *ahead[:1], *drawing]
        first += [*warnings, *self._key_rows()]
        beside = [] if self._wide else self._picture()
        return [*first, *ahead[1:], *reasons, *done[::-1], *facts[2:], *beside]

    def _key_rows(self) -> list[KeyRow]:
        rows = (self._rest[i : i + self._across] for i in range(0, len(self._rest), self._across))
        return [self.kept(("keys", row), lambda row=row: self._key_row(row)) for row in rows]

    def _key_row(self, keys: tuple[Key, ...]) -> KeyRow:
        row = KeyRow(keys)
        row.bind(on_key=lambda _, name: self.press(name), on_why=lambda _, why: self.note(why))
        return row
