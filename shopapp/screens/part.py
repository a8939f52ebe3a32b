"""Part: the line to scale with its deviation, the passes done and planned."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.presenters.views import PartView
from shopapp.screens.base import Screen, load_kv
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.rows import pass_row

load_kv(__file__)


class PartScreen(Screen):
    """The drawing beside the list, or before it on a small screen."""

    outline = ObjectProperty(None)
    view: PartView | None

    def drawings(self) -> Sequence[Any]:
        """The line with the part beside it."""
        assert self.view is not None
        self.outline.outline = self.view.outline
        return (self.outline,)

    def blocks(self) -> Sequence[Any]:
        """What counts, why the plan changed, the passes."""
        view = self.view
        assert view is not None
        facts = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.facts]
        warnings = [self.kept(("warning", w), lambda w=w: Sentence(w, "todo")) for w in view.warnings]
        reasons = [self.kept(r, lambda r=r: Sentence(r)) for r in view.reasons]
        rows = [self.kept(r, lambda r=r: pass_row(r)) for r in view.rows]
        return [*facts[:2], *warnings, *rows, *reasons, *facts[2:]]
