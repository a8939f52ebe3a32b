"""Two originals side by side: both drawn, how far they are apart, which to follow."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.areas import Area
from shopapp.presenters.views import OriginalsView
from shopapp.screens.base import Screen, load_kv
from shopapp.widgets.blocks import FactBlock, Sentence

load_kv(__file__)


class OriginalsScreen(Screen):
    """The drawing beside what is known, keys below."""

    outline = ObjectProperty(None)
    view: OriginalsView | None

    def lay(self, area: Area, shape: str) -> None:
        """As all screens; the drawing is there once there are two."""
        assert self.view is not None
        self.outline.outline = self.view.outline
        self.hide([self.outline])
        super().lay(area, shape)

    def drawings(self) -> Sequence[Any]:
        """Both lines."""
        return () if self.view is None or self.view.outline is None else (self.outline,)

    def blocks(self) -> Sequence[Any]:
        """What the choice is known to, what the comparison says, how far apart they are."""
        view = self.view
        assert view is not None
        facts = [self.kept(fact, lambda f=fact: FactBlock(f)) for fact in view.facts]
        said = [self.kept(text, lambda t=text: Sentence(t)) for text in view.sentences]
        return [*facts[:1], *said[:1], *facts[1:], *said[1:]]
