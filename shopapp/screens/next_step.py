"""Next: how wide, whether that will do, what was learned, what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.areas import TALL, Area
from shopapp.presenters.pieces import Fact
from shopapp.presenters.views import NextView
from shopapp.screens.base import ROOMY_MM, Screen, load_kv
from shopapp.sizes import ARM_MM, CLOSE_MM
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.drawings import STRIP_MM
from shopapp.widgets.look import look

load_kv(__file__)
CRAMPED_MM = 26.0
"""Height of the strip on a small screen held upright"""


class NextScreen(Screen):
    """The deviation as a strip, the verdict, the next pass."""

    strip = ObjectProperty(None)
    rim = ObjectProperty(None)
    reseat = ObjectProperty(None)
    view: NextView | None
    most_rows: dict[str, int]

    def lay(self, area: Area, shape: str) -> None:
        """As all screens; strip and keys give way where the gap that is expected would not be on the first
        page."""
        cramped = shape == TALL and self.height <= look.px(ROOMY_MM)
        self.strip.high_mm = CRAMPED_MM if cramped else STRIP_MM
        self.most_rows = {**Screen.most_rows, TALL: 2} if cramped else Screen.most_rows
        super().lay(area, shape)

    def drawings(self) -> Sequence[Any]:
        """The strip; how to seat the template again; the rim where it is lobed."""
        view = self.view
        assert view is not None
        self.strip.captioned = not self.small
        self.strip.strip, self.reseat.reseat = view.strip, view.reseat
        shown = [self.strip] if view.strip is not None else []
        if view.reseat is not None:
            shown.append(self.reseat)
        self.rim.outline = view.rim
        self.hide([] if view.rim is not None else [self.rim])
        return [*shown, *([self.rim] if view.rim is not None else [])]

    def blocks(self) -> Sequence[Any]:
        """Widest gap and verdict, the next pass and the bow, the newer first; then why it is in doubt."""
        view = self.view
        assert view is not None
        facts = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.facts]
        verdict = self._texts("verdict", [view.verdict], view.state, bold=True, capital_mm=ARM_MM)
        following = [
            Fact("Next", view.next_pass),
            Fact("Expected", view.expected),
            Fact("Out of plane then", view.beside),
            Fact("Tool set", view.tool_set),
        ]
        plan = [self.kept(f, lambda f=f: FactBlock(f)) for f in following if f.value]
        bow = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.bow]
        reseat = self._texts("reseat", [view.reseat.text] if view.reseat else [], "todo")
        stayed = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.stayed]
        learned = self._texts("response", view.response)
        reasons = self._texts("reason", view.reasons)
        coming = [*bow, *plan] if view.last else [*plan, *bow]
        doubts = self._texts("doubt", view.doubts, "todo")
        return [*facts[:1], *verdict, *reseat, *coming, *doubts, *stayed, *facts[1:], *learned, *reasons]

    def question(self) -> str:
        """What was taken last; on a small screen, what the strip shows; elsewhere it says so itself."""
        assert self.view is not None
        if self.view.last:
            return f"last: {self.view.last}"
        return self.view.strip.scale_text if self.small and self.view.strip is not None else ""

    def key_data(self) -> Any:
        """Keys of the view, with one for each station to be read again."""
        view = self.view
        assert view is not None
        return (*super().key_data(), *view.suspects)

    def _texts(
        self,
        what: str,
        texts: Sequence[str],
        state: str = "plain",
        bold: bool = False,
        capital_mm: float = CLOSE_MM,
    ) -> list[Any]:
        return [
            self.kept((what, text, state), lambda text=text: Sentence(text, state, capital_mm, bold=bold))
            for text in texts
            if text
        ]
