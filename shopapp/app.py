"""The touch app put together: shop, session, presenters, screens, keyboard."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window

import core
from shopapp import environment, recording, templates, typing_gauge
from shopapp.background import Background, Beforehand
from shopapp.display import DPI, PALETTE, DisplayPresenter
from shopapp.dropped import folders_in
from shopapp.idle_garbage import IdleGarbage
from shopapp.navigation import Navigation
from shopapp.palette import BRIGHT, PALETTES
from shopapp.presenters.bench import BenchPresenter
from shopapp.presenters.bow import BowPresenter
from shopapp.presenters.cautions import CautionsPresenter
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.inventory import InventoryPresenter
from shopapp.presenters.job_files import JobFilesPresenter
from shopapp.presenters.line_file import LineFilePresenter
from shopapp.presenters.metal import MetalPresenter
from shopapp.presenters.misfit import MisfitPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.original import OriginalPresenter
from shopapp.presenters.originals import OriginalsPresenter
from shopapp.presenters.own_check import OwnCheckPresenter
from shopapp.presenters.own_equipment import OwnMachinePresenter, OwnToolPresenter
from shopapp.presenters.own_gauge import OwnGaugePresenter
from shopapp.presenters.own_metal import OwnMetalPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.part_set import SetPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.rim import RimHeightPresenter, RimOf, RimPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.trial import TrialPresenter
from shopapp.presenters.who import WhoPresenter, working
from shopapp.screens.bench import BenchScreen
from shopapp.screens.bow import BowScreen
from shopapp.screens.cautions import CautionsScreen
from shopapp.screens.display import DisplayScreen
from shopapp.screens.finish import FinishScreen
from shopapp.screens.gaps import GapsScreen
from shopapp.screens.inventory import InventoryScreen
from shopapp.screens.line_file import LineFileScreen
from shopapp.screens.metal import MetalScreen
from shopapp.screens.next_step import NextScreen
from shopapp.screens.original import OriginalScreen
from shopapp.screens.originals import OriginalsScreen
from shopapp.screens.own_metal import OwnMetalScreen
from shopapp.screens.part import PartScreen
from shopapp.screens.part_set import SetScreen
from shopapp.screens.pass_card import PassCardScreen
from shopapp.screens.setup import SetupScreen
from shopapp.screens.trial import TrialScreen
from shopapp.screens.waiting import WaitingPresenter, WaitingScreen
from shopapp.screens.who import WhoScreen
from shopapp.sizes import MM_PER_INCH, found_dpi
from shopapp.widgets import textures
from shopapp.widgets.look import look

POLL_S, TIDY_S, TOUCHES_APART_S, TURNS_S = 0.05, 0.5, 0.5, 0.001
"""Time between looks for answers, and for garbage; time without a touch after which work may begin; how long
the work may keep the interpreter before the screen gets its turn"""

FIRST = "bench"
FILLING = "A made-up shop is being filled, with parts at different stages. That is done once."
SCREENS: dict[str, tuple[Any, Any]] = {
    "bench": (BenchScreen, BenchPresenter),
    "part": (PartScreen, PartPresenter),
    "pass_card": (PassCardScreen, PassCardPresenter),
    "gaps": (GapsScreen, GapsPresenter),
    "next_step": (NextScreen, NextPresenter),
    "bow": (BowScreen, BowPresenter),
    "finish": (FinishScreen, FinishPresenter),
    "set": (SetScreen, SetPresenter),
    "setup": (SetupScreen, SetupPresenter),
    "metal": (MetalScreen, MetalPresenter),
    "own_metal": (OwnMetalScreen, OwnMetalPresenter),
    "own_check": (OwnMetalScreen, OwnCheckPresenter),
    "own_gauge": (OwnMetalScreen, OwnGaugePresenter),
    "own_tool": (OwnMetalScreen, OwnToolPresenter),
    "own_machine": (OwnMetalScreen, OwnMachinePresenter),
    "inventory": (InventoryScreen, InventoryPresenter),
    "line_file": (LineFileScreen, LineFilePresenter),
    "job_files": (LineFileScreen, JobFilesPresenter),
    "original": (OriginalScreen, OriginalPresenter),
    "originals": (OriginalsScreen, OriginalsPresenter),
    "cautions": (CautionsScreen, CautionsPresenter),
    "misfit": (CautionsScreen, MisfitPresenter),
    "who": (WhoScreen, WhoPresenter),
}


def local_time() -> datetime:
    """The present moment with its offset."""
    return datetime.now().astimezone()


class GapwrightApp(App):
    """shop : open shop; answer : for a demo, gives an event with gaps of the open part as read, else None;
    rise_of : for a demo, gives the rise of a trial's offcut as read and the gauge that it took, else None;
    rim_of : for a demo, gives diameters or heights of the open dish's rim as read, else None;
    first : (what is said meanwhile, work) to be done on the shop before it is shown, else None; the work
    is given what it tells its progress to, so many parts ready of so many; data : folder that lines,
    jobs, photos are dropped into, None for none; keep_record, draw_template, keep_set : as of a session."""

    title = "Gapwright"

    def __init__(
        self,
        shop: Any,
        answer: Callable[[Any], Any] | None = None,
        now: Callable[[], datetime] = local_time,
        first: tuple[str, Callable[[Callable[[int, int], None]], None]] | None = None,
        rise_of: Callable[[Any], tuple[float, Any]] | None = None,
        rim_of: RimOf | None = None,
        data: Path | None = None,
        keep_record: Callable[[core.Record, str], str] | None = None,
        draw_template: Callable[[core.Job, str], str] | None = None,
        keep_set: Callable[[core.Job, core.SetSummary, str], str] | None = None,
    ) -> None:
        super().__init__()
        self.session = Session(shop, now, who=working(shop.settings))
        if data is not None:
            self.session.folders = folders_in(data)
        self.session.keep_record, self.session.draw_template = keep_record, draw_template
        self.session.keep_set = keep_set
        self.answer, self.first, self.rise_of, self.rim_of = answer, first, rise_of, rim_of
        self.background = Background(self.session, self._answered, self._amid_touches)
        self._touched_at = -TOUCHES_APART_S
        look.use_density(shop.settings.get(DPI) or found_dpi())
        look.palette = PALETTES.get(shop.settings.get(PALETTE), BRIGHT)

    def build(self) -> Navigation:
        """The window's content, on its first screen."""
        makers = {name: self._maker(*kinds) for name, kinds in SCREENS.items()}
        makers["display"], makers["trial"] = self._display, self._trial
        makers["rim"] = partial(self._across, RimPresenter)
        makers["rim_height"] = partial(self._across, RimHeightPresenter)
        self.navigation = Navigation(makers)
        if self.first is not None:
            self._waiting = WaitingPresenter(self.first[0])
            makers["waiting"] = lambda go: WaitingScreen(presenter=self._waiting, navigate=go)
        self.navigation.go(FIRST if self.first is None else "waiting")
        return self.navigation

    def on_start(self) -> None:
        """Take the keyboard, and look for answers of work in the background."""
        sys.setswitchinterval(TURNS_S)
        gc.freeze()  # a search for garbage through all that was imported takes 50 ms, amid a touch
        self._garbage = IdleGarbage(lambda: Clock.get_time() - self._touched_at)
        self._garbage.start()
        self._tidying = Clock.schedule_interval(self._garbage.look, TIDY_S)
        Window.bind(on_key_down=self._key, on_touch_up=self._note_touch)
        self._polled: Background | Beforehand = self.background  # the clock itself keeps no hold of it
        if self.first is not None:
            self._polled = Beforehand(self.first[1], self._begin, self._further)
        self._polling = Clock.schedule_interval(self._polled.poll, POLL_S)

    def on_stop(self) -> None:
        """Let go of the keyboard, and of what was kept from the search for garbage."""
        Window.unbind(on_key_down=self._key, on_touch_up=self._note_touch)
        self._polling.cancel()
        self._tidying.cancel()
        self._garbage.stop()
        gc.unfreeze()

    def on_pause(self) -> bool:
        """Everything is on disk already."""
        return True

    def on_resume(self) -> None:
        """The drawing context may be new: draw every text anew."""
        textures.forget()
        self.navigation.screen.refresh()

    def open_settings(self, *_: Any) -> bool:
        """Kivy's own settings are none of the shop's business."""
        return False

    def _maker(self, screen: Any, presenter: Any) -> Callable[[Callable[[str], None]], Any]:
        return lambda go: screen(
            presenter=presenter(self.session), navigate=go, answer=self.answer and self._read_by_itself
        )

    def _display(self, go: Callable[[str], None]) -> DisplayScreen:
        presenter = DisplayPresenter(self.session.shop.settings, look.px_per_mm * MM_PER_INCH, _use)
        return DisplayScreen(presenter=presenter, navigate=go)

    def _trial(self, go: Callable[[str], None]) -> TrialScreen:
        presenter = TrialPresenter(self.session)
        answer = self.rise_of and (lambda: presenter.read_by_itself(self.rise_of))
        return TrialScreen(presenter=presenter, navigate=go, answer=answer)

    def _across(self, presenter_of: type[RimPresenter], go: Callable[[str], None]) -> GapsScreen:
        presenter, rim_of = presenter_of(self.session), self.rim_of
        answer = None if rim_of is None else (lambda: presenter.read_by_itself(rim_of))
        return GapsScreen(presenter=presenter, navigate=go, answer=answer)

    def _read_by_itself(self) -> None:
        """In a demo the bar answers: log what it would be read as."""
        assert self.answer is not None
        self.session.log(self.answer(self.session))

    def _further(self, ready: int, of: int) -> None:
        """What has to be done first is so far."""
        self._waiting.progress = (ready, of)
        self.navigation.screen.refresh()

    def _begin(self) -> None:
        """What had to be done first is done: show the shop."""
        self._polling.cancel()
        self._polling = Clock.schedule_interval(self.background.poll, POLL_S)
        self.navigation.go(FIRST)

    def _note_touch(self, *_: Any) -> None:
        self._touched_at = Clock.get_time()

    def _amid_touches(self) -> bool:
        """True while touches follow each other and nobody waits for the answer."""
        view = self.navigation.screen.view
        waited_for = bool(getattr(view, "busy", ""))
        return not waited_for and Clock.get_time() - self._touched_at < TOUCHES_APART_S

    def _answered(self) -> None:
        self.navigation.screen.refresh()

    def _key(self, _window: Any, code: int, place: int, text: str | None, modifiers: list[str]) -> bool:
        """One press of a key of a keyboard, a scanner or a gauge that types."""
        action = typing_gauge.action_of(code, modifiers)
        if action is not None:
            self.navigation.screen.act(action)
            return True
        letter = typing_gauge.written_by(code, place, text, modifiers)
        if letter:
            self.navigation.screen.write_character(letter)
        return True


def _use(palette: str, dpi: float) -> None:
    """Draw with this palette and this density from now on."""
    look.palette = PALETTES[palette]
    look.use_density(dpi)


def run(data_folder: Path | None, demo: bool = False) -> int:
    """Open the shop in a folder (None: the platform's own) and run until the window is closed."""
    environment.drop_extra_inputs()
    folder = data_folder or environment.data_folder("-demo" if demo else "")
    papers = {
        "keep_record": recording.keeper(folder),
        "draw_template": templates.keeper(folder),
        "keep_set": recording.set_keeper(folder),
    }
    with core.Shop(folder) as shop:
        if not demo:
            GapwrightApp(shop, data=folder, **papers).run()
            return 0
        from shopapp import answering
        from shopapp import demo as demo_shop

        lacks = demo_shop.missing(shop)
        first = None if not lacks else (FILLING, lambda tell: demo_shop.fill(shop, local_time, tell))
        demo_answers = {"answer": answering.gaps_of, "rise_of": answering.rise_of, "rim_of": answering.rim_of}
        GapwrightApp(shop, first=first, data=folder, **demo_answers, **papers).run()
    return 0
