"""Waiting: what is being done before the first screen, and that it takes a while."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shopapp.areas import Area
from shopapp.presenters.pieces import Header, Key
from shopapp.screens.base import Screen
from shopapp.sizes import ARM_MM
from shopapp.widgets.blocks import Progress, Sentence


@dataclass(frozen=True)
class WaitingView:
    """text : what is being done; ready, of : parts done yet, and in all (0: not known)."""

    header: Header
    text: str
    ready: int = 0
    of: int = 0
    keys: tuple[Key, ...] = ()
    go: str = ""


class WaitingPresenter:
    """text : what is being done; progress : parts ready, and in all."""

    def __init__(self, text: str) -> None:
        self._text = text
        self.progress = (0, 0)

    def view(self) -> WaitingView:
        """What to show."""
        return WaitingView(Header("One moment", unit="", back=""), self._text, *self.progress)


class WaitingScreen(Screen):
    """A sentence, how far it is, and nothing to touch: the shop is not to be used yet."""

    view: WaitingView | None

    def lay(self, area: Area, shape: str) -> None:
        """The sentence over the whole width."""
        self.lay_header(area, cautions=False)
        self.lay_pages(self.blocks(), area, 1)

    def blocks(self) -> Sequence[Any]:
        """The sentence; parts ready as a number and as a bar that fills."""
        view = self.view
        assert view is not None
        text = self.kept(view.text, lambda: Sentence(view.text, capital_mm=ARM_MM))
        if not view.of:
            return [text]
        told = f"{view.ready} of {view.of} parts are ready"
        count = self.kept(told, lambda: Sentence(told, capital_mm=ARM_MM, bold=True))
        return [text, count, self.kept((view.ready, view.of), lambda: Progress(view.ready / view.of))]

    def act(self, action: str) -> None:
        """No key leads anywhere yet."""
