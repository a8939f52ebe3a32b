"""Metal: all that is known of a metal, in pages."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from shopapp.areas import TALL, Area
from shopapp.presenters.views import FigureRow as FigureData
from shopapp.presenters.views import MetalView
from shopapp.screens.base import Screen
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.figure_row import FigureGroup
from shopapp.widgets.picture import PictureBlock


class MetalScreen(Screen):
    """The picture first, then the figures, then what to watch for; in two columns where there is room."""

    view: MetalView | None

    def lay(self, area: Area, shape: str) -> None:
        """Text over the whole width, keys in one row below."""
        self.lay_header(area)
        self.lay_pages(self.blocks(), area, 1 if shape != TALL else 2, 1 if shape == TALL else 2)

    def blocks(self) -> Sequence[Any]:
        """Each block once for each content."""
        view = self.view
        assert view is not None
        picture = view.picture
        drawn = [] if picture is None else [self.kept(picture, lambda: PictureBlock(picture))]
        also = [self.kept(("also", view.also), lambda: Sentence(view.also))] if view.also else []
        rows = [self.kept(group, lambda group=group: _figures(group)) for group in _groups(view.rows)]
        watch = [self.kept(("watch", w), lambda w=w: Sentence(w, "todo")) for w in view.watch]
        return [*drawn, *also, *watch, *rows]


def _groups(rows: Sequence[FigureData]) -> list[tuple[FigureData, ...]]:
    """Neighbours that share a tail go together and have it once, under the last of them."""
    return [tuple(group) for tail, group in groupby(rows, key=lambda row: row.tail)]


def _figures(group: tuple[FigureData, ...]) -> FigureGroup:
    return FigureGroup([(row.label, row.value) for row in group], group[-1].tail)
