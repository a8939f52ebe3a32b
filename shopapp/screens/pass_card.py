"""Pass card: the next pass alone; a marker that runs along it at its feed; what was done differently."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from kivy.clock import Clock
from kivy.properties import ObjectProperty

from shopapp.areas import LOW, WIDE, Area
from shopapp.presenters.pieces import Bracket, Key
from shopapp.presenters.views import PassCardView
from shopapp.screens.base import ROOMY_MM, Screen, load_kv
from shopapp.sizes import ARM_MM, CLOSE_MM
from shopapp.widgets.blocks import FactBlock
from shopapp.widgets.drawings import STRIP_MM
from shopapp.widgets.look import look
from shopapp.widgets.pages import Later
from shopapp.widgets.strip import NOWHERE
from shopapp.widgets.table_row import TableRow, row_height

load_kv(__file__)
FRAME_S, WHERE_SHARE, LOW_STRIP_MM, WIDE_STRIP_MM = 1 / 30, 0.38, 28.0, 60.0
"""Share of the table of zones for where a zone lies; the strip on a small screen, below two lines at least"""


class PassCardScreen(Screen):
    """The strip with whole strokes, what to set, and the pacer."""

    strip = ObjectProperty(None)
    outline = ObjectProperty(None)
    action = ObjectProperty(None)
    plan = ObjectProperty(None)
    view: PassCardView | None
    typed_text = True
    stations_by_arrows = True
    most_rows: ClassVar = {**Screen.most_rows, WIDE: 3}

    def __init__(self, **kwargs: Any) -> None:
        self._ticking: Any = None
        self._started = 0.0
        self._counting = self._wide = False
        super().__init__(**kwargs)

    def take(self, view: PassCardView) -> None:
        """Show a view; the marker stops when the pass is no longer shown."""
        if view.editing or view.go or view.strip is None:
            self.stop()
        self._counting = self._counting and bool(view.editing)
        super().take(view)

    def press(self, name: str) -> None:
        """The pacer's keys are the screen's own: its time is the screen's."""
        if name == "pacer":
            self.start()
        elif name == "stop":
            self.stop()
        else:
            super().press(name)

    def tap(self, station: int) -> None:
        """A station of the strip was touched."""
        if self.view is not None and self.view.strip is not None and self._ticking is None:
            self.take(self.presenter.tap(station))

    def typed(self, text: str) -> None:
        """A digit of a count, while counts are changed."""
        self._counting = self.view is not None and bool(self.view.editing)
        super().typed(text)

    def enter(self) -> None:
        """Enter after a count goes on to the next station or zone; only without one it logs the pass."""
        if self._counting:
            self._counting = False
            self.take(self.presenter.typed("\n"))
        else:
            super().enter()

    def back(self) -> None:
        """The back key leads from counts that are changed to the card."""
        if self.view is not None and self.view.editing:
            self.press("cancel")
        else:
            super().back()

    def start(self) -> None:
        """Start the marker."""
        self.stop()
        self._started = Clock.get_time()
        self._ticking = Clock.schedule_interval(self._tick, FRAME_S)
        self._tick()
        self.relay()

    def stop(self) -> None:
        """Stop the marker where it is, and take it off."""
        if self._ticking is not None:
            self._ticking.cancel()
            self._ticking = None
            self.strip.marker_mm = NOWHERE
            self.relay()

    def _tick(self, *_: Any) -> None:
        now = self.presenter.pacer(Clock.get_time() - self._started)
        self.strip.marker_mm = now.position_mm
        self.action.text = now.text
        if now.finished:
            self.stop()
        elif self.action.height_for(self.action.width) > self.action.height + 1:
            self.relay()  # a longer text takes another line

    def drawings(self) -> Sequence[Any]:
        """What to do in a word, and the strip, or the rim with the arcs of a step."""
        view = self.view
        assert view is not None
        running = self._ticking is not None
        if not running:
            self.action.text = f"{view.action}, {view.bite} bite" if view.bite else view.action
        cramped = self.width < self.height <= look.px(ROOMY_MM)
        told = cramped and view.edit_text and not view.editing  # its lines would push the strip off the page
        self.action.setting = "" if running or told else view.setting
        self.action.arrows, self.strip.strip = view.arrows, view.strip
        self.strip.captioned = not self.small
        self.strip.high_mm = LOW_STRIP_MM if self.small or cramped else STRIP_MM
        if self._wide and view.plan is not None:  # the figure under it takes no more than its own height
            self.strip.high_mm = WIDE_STRIP_MM
        self.strip.asked = bool(view.editing)
        self.outline.outline = view.outline
        if view.outline is not None:
            return self.action, self.outline
        if view.strip is None:
            return ()
        beside = (self.plan,) if self._wide and view.plan is not None else ()
        return (self.action, self.strip, *beside)

    def blocks(self) -> Sequence[Any]:
        """What comes first and the strokes in all; the zones, a line each; then what to expect."""
        view = self.view
        assert view is not None
        facts = [self.kept(f, lambda f=f: FactBlock(f)) for f in view.facts]
        first = next((i + 1 for i, fact in enumerate(view.facts) if fact.big), 0)
        self.plan.plan = view.plan
        seen = [self.plan] if view.plan is not None and not self._wide else []
        return [*facts[:first], *self._zones(), *facts[first:], *seen]

    def _zones(self) -> list[Any]:
        """How every zone is fed, also those too narrow for the strip to say it."""
        assert self.view is not None
        strip = self.view.strip
        fed = () if strip is None else tuple(b for b in strip.brackets if b.feed)
        if strip is None or not fed:
            return []
        head = tuple((text, text) for text in (f"{strip.label.capitalize()}s", "strokes", "mm/s", "s"))
        first = self.kept(("zones", head), lambda: _head(head))
        rows = [self.kept(("zone", b, head), lambda b=b: _zone_row(b, head)) for b in fed]
        return [first, *rows]

    def question(self) -> str:
        """What the + and − keys change."""
        view = self.view
        assert view is not None
        caption = view.strip.scale_text if self.small and view.strip is not None else ""
        return view.edit_text or caption

    def key_data(self) -> tuple[Key, ...]:
        """Keys of the view and the pacer's."""
        view = self.view
        assert view is not None
        if not view.pacer_text:
            return super().key_data()
        running = self._ticking is not None
        pacer = Key("stop", "Stop pacer") if running else Key("pacer", view.pacer_text)
        return (pacer, *super().key_data())

    def lay(self, area: Area, shape: str) -> None:
        """As all screens, but while counts are changed all the keys are wanted."""
        view = self.view
        assert view is not None
        self.hide([self.strip, self.outline, self.plan])
        self._wide = shape == WIDE
        if shape != LOW or not view.editing:
            super().lay(area, shape)
            return
        content, keys = self.pad_areas(area, shape)
        drawings = self.drawings()
        self.pages.lay([], content)
        self.lay_drawings(drawings, content)
        self.keys.lay(self.key_data(), keys, main=(2, 1))

    def leave(self) -> None:
        """Another screen is shown."""
        self.stop()


def _head(cells: tuple[tuple[str, str], ...]) -> Later:
    return Later(lambda width: row_height(width, CLOSE_MM), lambda: _row(cells, CLOSE_MM, "quiet"))


def _zone_row(bracket: Bracket, head: tuple[tuple[str, str], ...]) -> Later:
    """Where, strokes at each, feed and time; standing ones are made without a feed."""
    first, last = bracket.first + 1, bracket.last + 1
    where = str(first) if first == last else f"{first} to {last}"
    others = (str(bracket.strokes), bracket.mm_per_s, bracket.s)
    cells = ((where, where.replace(" to ", "–")), *((text, text) for text in others))
    return Later(lambda width: row_height(width, ARM_MM), lambda: _row(cells, ARM_MM), _head(head))


def _row(cells: tuple[tuple[str, str], ...], capital_mm: float, role: str = "ink") -> TableRow:
    """The figures are read from the machine; their heads once a page, from near."""
    return TableRow(cells, role=role, capital_mm=capital_mm, first_share=WHERE_SHARE)
