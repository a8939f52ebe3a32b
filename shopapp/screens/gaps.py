"""Gaps: one station after the other, by leaf keys, number keys or a gauge that types."""

from __future__ import annotations

from kivy.properties import ObjectProperty

from shopapp.areas import WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import GapsView
from shopapp.screens.base import Screen, load_kv
from shopapp.screens.placing import margined, put
from shopapp.sizes import ARM_MM, CLOSE_MM, COUNTS_MM, GAP_MM, line_mm
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.look import look

load_kv(__file__)
PINNED = ("undo", "erase", "touching", "beyond", "skip")
PAD_PINNED = ("undo", "erase")
STRIP_AT_LEAST_MM, STRIP_WIDE_MM = 20.0, 60.0
ANSWER = "answer"
CHOOSING = {
    "gauge": "Which gauge is in your hand?",
    "template": "Which template do you offer up?",
    "meridian": "Along which meridian does the template lie?",
}


class GapsScreen(Screen):
    """The strip with the station asked for, its expected gap, and the keys of the gauge."""

    strip = ObjectProperty(None)
    station = ObjectProperty(None)
    expected = ObjectProperty(None)
    entry = ObjectProperty(None)
    plan = ObjectProperty(None)
    view: GapsView | None
    typed_text = True
    stations_by_arrows = True

    def take(self, view: GapsView) -> None:
        """Show a view; for another station, the page of leaves that holds the expected gap, or the digits."""
        before = self.view
        super().take(view)
        another = before is None or before.station != view.station
        if view.go or not another:
            return
        if view.nearest:
            self.keys.turn_to(view.nearest)
        elif self.keys.page:
            self.keys.page = 0
            self.relay()

    def press(self, name: str) -> None:
        """In a demo, the bar itself can answer."""
        if name == ANSWER:
            self.answer()
            self.take(self.presenter.view())
        else:
            super().press(name)

    def back(self) -> None:
        """The back key leaves a choice as it is before it leaves the screen."""
        if self.view is not None and self.view.choosing:
            self.press(self.view.choosing)
        else:
            super().back()

    def tap(self, station: int) -> None:
        """A station of the strip was touched: that one is asked for."""
        self.take(self.presenter.tap(station))

    def question(self) -> str:
        """What was taken last, in the line of the header."""
        assert self.view is not None
        return f"last: {self.view.last}" if self.view.last else ""

    def key_data(self) -> tuple[Key, ...]:
        """Answers to a question alone; else what there is to choose, or the gauge's keys and the others."""
        view = self.view
        assert view is not None
        if view.question and not view.entry:
            return super().key_data()
        if view.choosing:
            return (*view.choices, Key(view.choosing, "Leave as is"))
        demo = (Key(ANSWER, "The part answers"),) if self.answer is not None and view.answered else ()
        taken_back = "undo" if view.entry else "erase"  # one place takes back what came last
        shown = (*view.leaves, *view.pad, *demo, *super().key_data())
        return tuple(k for k in shown if k.name != taken_back)

    def lay(self, area: Area, shape: str) -> None:
        """Keys in their block, readout and strip in the rest."""
        view = self.view
        assert view is not None
        by_pad = view.mode == "pad" and not view.question
        content, keys = self.pad_areas(area, shape)
        content = margined(content)
        self.strip.captioned = shape == WIDE
        self._lay_readout(content)
        main = self.pad_main(shape, by_pad)
        self._lay_question(content, keys, main)
        self.strip.strip = view.strip
        self._lay_plan(content)
        small = content.height < look.px(STRIP_AT_LEAST_MM) or content.width < look.px(STRIP_WIDE_MM)
        put(self.strip, Area(content.x, content.y, 0, 0) if small else content)
        self.keys.lay(self.key_data(), keys, PAD_PINNED if by_pad else PINNED, main)

    def _lay_plan(self, content: Area) -> None:
        """Where the station lies, where as much is left for the strip."""
        assert self.view is not None
        self.plan.plan = self.view.plan
        room = self.view.plan is not None and content.height >= 2.0 * self.plan.height_for(content.width)
        high = self.plan.height_for(content.width) if room else 0.0
        put(self.plan, content.bottom(high, look.px(GAP_MM)) if room else Area(content.x, content.y, 0, 0))

    def _lay_readout(self, area: Area) -> None:
        """Station and what it should be at the left, what is typed or was read last at the right; small only
        where nothing of the strip would be left."""
        view, gap = self.view, look.px(GAP_MM / 2)
        assert view is not None
        self.station.text = view.station
        if view.strip.current is not None:
            self._add_progress(area.width, view)
        expected = f"expected: {view.expected}" if view.expected else ""
        axis = view.strip.scale_text
        in_mm = view.header.unit == "mm"  # the strip stays in mm where angles are typed
        sign = axis if "+" in axis and in_mm and not self.strip.captioned else ""
        self.expected.text = "\n".join(text for text in (expected, sign) if text)
        typing = bool(view.entry) or (view.mode == "pad" and not view.question)
        self.entry.text = f"{view.entry}_ {view.entry_unit}" if typing else ""
        entry_px = look.px(line_mm(COUNTS_MM)) if typing else 0.0
        rows, least = (self.station, self.expected), look.px(STRIP_AT_LEAST_MM)
        both, one, none = (ARM_MM, ARM_MM), (ARM_MM, CLOSE_MM), (CLOSE_MM, CLOSE_MM)
        for sizes_mm, room in ((both, least), (one, least), (both, 0.0), (one, 0.0), (none, 0.0)):
            highs = [w.height_for(area.width, mm) for w, mm in zip(rows, sizes_mm, strict=True)]
            if area.height - sum(highs) - 2 * gap - entry_px >= room:
                break
        self.expected.sizes_mm = [*dict.fromkeys((sizes_mm[1], CLOSE_MM))]
        for words, high in zip(rows, highs, strict=True):
            put(words, area.top(high, gap) if words.text else Area(0, 0, 0, 0))
        put(self.entry, area.top(entry_px, gap) if typing else Area(0, 0, 0, 0))

    def _add_progress(self, width: float, view: GapsView) -> None:
        """How many are read, where it finds room beside the station."""
        self.station.text = f"{view.station}, {view.progress}"
        if self.station.width_for_one_line() > width:
            self.station.text = view.station

    def _lay_question(self, content: Area, keys: Area, main: tuple[int, int] | None) -> None:
        """Why a reading is asked for again, or what there is to choose: above its few keys, or beside the
        many; in large letters where there is room."""
        view, gap = self.view, look.px(GAP_MM)
        assert view is not None
        text = view.question or CHOOSING.get(view.choosing, "")
        if not text:
            self.pages.lay([], Area(content.x, content.y, 0, 0))
            return
        _, foot = self.keys.at_the_foot(self.key_data(), keys, main)
        above = margined(keys.all_of_it())
        above.bottom(foot.height, gap)
        for capital_mm in (ARM_MM, CLOSE_MM):
            block = self.kept((text, capital_mm), lambda mm=capital_mm: Sentence(text, "todo", mm, bold=True))
            high = block.height_for(above.width)
            if high <= above.height:
                self.pages.lay([block], above.bottom(high))
                return
        self.pages.lay([block], content.top(block.height_for(content.width), gap))
