"""The touch app without a display, driven by made-up touches and keys.

For screenshots, measurements and tests.

:func:`prepare` comes before the first import of kivy; everything else may come after.
"""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from shopapp import environment

LOOKS_PRESSED_S = 0.12
"""A key looks pressed for less than that after the finger has left"""

LARGEST_PX = (1280, 1280)
MORE, FURTHER, MOST_PAGES = "more", "further", 12
"""Names of the keys that turn pages, and how often at most"""

SHORT_CODES = {
    "enter": 13, "keypad enter": 271, "escape": 27, "tab": 9, "backspace": 8, "F1": 282,
    "left": 276, "right": 275, "up": 273, "down": 274, "end": 279,
}  # fmt: skip


def prepare(largest_px: tuple[int, int] = LARGEST_PX) -> None:
    """Environment for drawing into memory, and for nothing being written outside.

    largest_px : what is drawn into is made once; larger windows are laid out, but not drawn to their ends.
    """
    environment.prepare_kivy()
    os.environ.update(
        SDL_VIDEODRIVER="offscreen",
        SDL_AUDIODRIVER="dummy",
        KIVY_METRICS_DENSITY="1",
        KIVY_METRICS_FONTSCALE="1",
        KCFG_GRAPHICS_WIDTH=str(largest_px[0]),
        KCFG_GRAPHICS_HEIGHT=str(largest_px[1]),
        KCFG_GRAPHICS_MAXFPS="0",
    )
    os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="gapwright-kivy-"))


class Driver:
    """One running app. size_px : of the window; the app is started by :meth:`start` and must be stopped."""

    def __init__(self, app: Any, size_px: tuple[int, int]) -> None:
        self.app = app
        self.size_px = size_px
        self._touches = 0

    def start(self) -> None:
        """Open the window at its size and run the app up to its first painted screen."""
        from kivy.base import runTouchApp
        from kivy.core.window import Window

        environment.drop_extra_inputs()
        if tuple(Window.size) != self.size_px:
            Window.size = self.size_px
        self.app._run_prepare()
        runTouchApp(embedded=True)
        self.idle(3)

    def stop(self) -> None:
        """Stop the app and let go of everything that it left in the window and the clock."""
        from kivy.base import EventLoop
        from kivy.clock import Clock

        self.app.stop()
        for module in EventLoop.postproc_modules:
            for kept in ("touches", "last_touches"):
                getattr(module, kept, {}).clear()
        for event in Clock.get_events():
            event.cancel()

    def resize(self, size_px: tuple[int, int]) -> None:
        """Turn or resize the screen."""
        from kivy.core.window import Window

        Window.size = self.size_px = size_px
        self.idle(3)

    def idle(self, frames: int = 1) -> None:
        """Let so many frames pass, each painted to the end.

        Without a display nothing holds the drawing back: unfinished frames would pile up in memory.
        """
        from kivy.base import EventLoop
        from kivy.graphics.opengl import glFinish

        for _ in range(frames):
            EventLoop.idle()
            glFinish()

    def touch(self, x: float, y: float) -> None:
        """One touch of a finger at a point of the window, in pixels from the bottom left."""
        self.lift(self.lay_on(x, y))

    def lay_on(self, x: float, y: float) -> Any:
        """A finger is laid on, and the frame after that is painted."""
        from kivy.base import EventLoop

        finger = self._finger(x, y)
        EventLoop._dispatch_input("begin", finger)
        self.idle()
        return finger

    def lift(self, finger: Any) -> None:
        """A finger is lifted, and the frame after that is painted."""
        from kivy.base import EventLoop

        EventLoop._dispatch_input("end", finger)
        self.idle()

    def tap(self, widget: Any) -> None:
        """One touch amid a widget."""
        self.touch(*widget.to_window(*widget.center))

    def key(self, name: str = "", code: int = 0, modifiers: tuple[str, ...] = ()) -> None:
        """One press of a key: a single letter, or one of SHORT_CODES, or a code."""
        from kivy.core.window import Window

        number = code or SHORT_CODES.get(name) or ord(name)
        text = name if len(name) == 1 and not code else None
        Window.dispatch("on_key_down", number, 0, text, list(modifiers))
        Window.dispatch("on_key_up", number, 0)
        self.idle()

    def type(self, text: str) -> None:
        """Key by key, as a gauge that types."""
        for letter in text:
            self.key(letter)

    def shot(self, path: Path) -> None:
        """Save what is on the screen as a picture of exactly this name."""
        from kivy.core.window import Window
        from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels

        time.sleep(LOOKS_PRESSED_S)
        Window.canvas.ask_update()
        self.idle(2)
        width, height = Window.size
        path.parent.mkdir(parents=True, exist_ok=True)
        pixels = glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE)
        Window._win.save_bytes_in_png(str(path), pixels, width, height)

    def widgets(self, kind: type) -> Iterator[Any]:
        """Every widget of a kind that is on the screen."""
        from kivy.core.window import Window

        for child in Window.children:
            yield from (w for w in child.walk() if isinstance(w, kind))

    @property
    def screen(self) -> Any:
        """The screen that is shown."""
        return self.app.navigation.screen

    def settle(self, seconds: float = 60.0) -> None:
        """Wait for work in the background. Raises TimeoutError when it takes longer."""
        end = time.monotonic() + seconds
        while self.app.session.waiting:
            if time.monotonic() > end:
                raise TimeoutError("work in the background is not done")
            time.sleep(0.005)
            self.idle()
        self.idle(2)

    def key_named(self, name: str) -> Any:
        """The key of this name on the screen, or None."""
        from shopapp.widgets.key import Key

        shown = (key for key in self.widgets(Key) if key.name == name and key.width > 0 and key.opacity)
        return next(shown, None)

    def press(self, name: str) -> None:
        """Touch the key of this name: pages of keys, then of text, are turned until it is found, and work
        in the background is waited for where it is not there yet.

        Raises LookupError when it is nowhere, or off.
        """
        key = self._turned_to(name)
        if key is None or not key.enabled:
            self.settle()
            key = self._turned_to(name)
        if key is None or not key.enabled:
            why = "is not there" if key is None else f"is off: {key.why}"
            raise LookupError(f"key {name!r} {why}, on screen {self.app.navigation.name!r}")
        self.tap(key)

    def _turned_to(self, name: str) -> Any:
        """The key of this name on the page where it is alive; a dead one, or None, when it is on none."""
        for _ in range(MOST_PAGES):
            if self.key_named(name) is not None or self.key_named(MORE) is None:
                break
            self.tap(self.key_named(MORE))
        for _ in range(self.screen.pages.count):
            key = self.key_named(name)
            if (key is not None and key.enabled) or self.key_named(FURTHER) is None:
                return key
            self.tap(self.key_named(FURTHER))
        return self.key_named(name)

    def _finger(self, x: float, y: float) -> Any:
        from kivy.core.window import Window
        from kivy.input.motionevent import MotionEvent

        class Finger(MotionEvent):
            """A made-up finger."""

            def depack(self, args: Any) -> None:
                """Place in shares of the window."""
                self.profile = ["pos"]
                self.sx, self.sy = args["x"], args["y"]
                super().depack(args)

        self._touches += 1
        width, height = Window.size
        place = {"x": x / (width - 1), "y": y / (height - 1)}
        return Finger("made up", self._touches, place, is_touch=True, type_id="touch")
