"""Where sites lie on a part, a small figure: its line with them bold, its section or rings at the right."""

from __future__ import annotations

from typing import Any

from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.views import Plan
from shopapp.sizes import GAP_MM
from shopapp.widgets.look import look
from shopapp.widgets.outline import OutlineView
from shopapp.widgets.picture import PictureBlock

PLAN_MM, ACROSS_SHARE = 22.0, 0.4
"""Height, and share of the width that the section takes"""


class PlanBlock(Widget):
    """plan : what to draw, or None."""

    plan: Plan | None = ObjectProperty(None, allownone=True)
    high_mm = NumericProperty(PLAN_MM)
    grows = True

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._outline = OutlineView()
        self._across: PictureBlock | None = None
        self.add_widget(self._outline)
        self.fbind("plan", self._take)
        for name in ("pos", "size"):
            self.fbind(name, self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(self.high_mm)

    def _take(self, *_: Any) -> None:
        if self._across is not None:
            self.remove_widget(self._across)
        across = None if self.plan is None else self.plan.across
        self._across = None if across is None else PictureBlock(across)
        if self._across is not None:
            self.add_widget(self._across)
        self._outline.outline = None if self.plan is None else self.plan.outline
        self._place()

    def _place(self, *_: Any) -> None:
        room = Area(self.x, self.y, self.width, self.height)
        if self._across is not None:
            beside = room.right(ACROSS_SHARE * self.width, look.px(GAP_MM))
            self._across.pos, self._across.size = (beside.x, beside.y), (beside.width, beside.height)
        self._outline.pos, self._outline.size = (room.x, room.y), (room.width, room.height)
