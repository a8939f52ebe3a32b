"""A bare app of the same toolkit, to hold the start, the memory and the touches of ours against."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any


def megabytes() -> float:
    """What this process holds in memory."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def bare_driver(size_px: tuple[int, int]) -> Any:
    """An app with one label and one key, ``driver.app.key``, that counts its touches in it; it runs."""
    from shopapp import headless

    headless.prepare(size_px)
    from kivy.app import App
    from kivy.uix.boxlayout import BoxLayout
    from kivy.uix.button import Button
    from kivy.uix.label import Label

    class Bare(App):
        """Counts."""

        def build(self) -> Any:
            """A label above a key."""
            box, label, self.key = BoxLayout(orientation="vertical"), Label(text="0"), Button(text="more")
            self.key.bind(on_release=lambda _: setattr(label, "text", str(int(label.text) + 1)))
            box.add_widget(label)
            box.add_widget(self.key)
            return box

    driver = headless.Driver(Bare(), size_px)
    driver.start()
    return driver


def command_up_to_first_screen(folder: str) -> float:
    """What ``python -m shopapp --data FOLDER`` does up to its first painted screen, then it is left; the
    megabytes that took. Of all of it only the run of the app is another, with the window in memory."""
    import contextlib
    import runpy
    import sys

    from shopapp import headless

    headless.prepare((1280, 800))
    from kivy.app import App

    found: list[float] = []

    def run(app: Any) -> None:
        driver = headless.Driver(app, (1280, 800))
        driver.start()
        assert app.navigation.name == "bench"
        found.append(megabytes())

    App.run, sys.argv = run, ["shopapp", "--data", folder]
    with contextlib.suppress(SystemExit):
        runpy.run_module("shopapp", run_name="__main__")
    return found[0]
