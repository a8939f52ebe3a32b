"""Waiting: what is being done before the first screen, and that it takes a while."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shopapp.areas import Area
from shopapp.presenters.pieces import Header, Key
from shopapp.screens.base import Screen
from shopapp.sizes import ARM_MM
from shopapp.widgets.blocks import Sentence


@dataclass(frozen=True)
class WaitingView:
    """text : what is being done."""

    header: Header
    text: str
    keys: tuple[Key, ...] = ()
    go: str = ""


class WaitingPresenter:
    """Says the same all the time. text : what is being done."""

    def __init__(self, text: str) -> None:
        self._view = WaitingView(Header("One moment", unit="", back=""), text)

    def view(self) -> WaitingView:
        """What to show."""
        return self._view


class WaitingScreen(Screen):
    """A sentence, and nothing to touch: the shop is not to be used yet."""

    view: WaitingView | None

    def lay(self, area: Area, shape: str) -> None:
        """The sentence over the whole width."""
        self.lay_header(area, cautions=False)
        self.lay_pages(self.blocks(), area, 1)

    def blocks(self) -> Sequence[Any]:
        """The sentence."""
        view = self.view
        assert view is not None
        return [self.kept(view.text, lambda: Sentence(view.text, capital_mm=ARM_MM))]

    def act(self, action: str) -> None:
        """No key leads anywhere yet."""
