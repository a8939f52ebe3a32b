"""One kivy window for all tests of the touch app, without a display; the environment comes first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from shopapp import headless

headless.prepare()

import core  # noqa: E402
from tests.gui.screens_of import SIZES, Screen  # noqa: E402

RIB: dict[str, Any] = {
    "name": "Shutter rib 3",
    "kind": "section",
    "line": {"radius": "3000 mm", "length": "480 mm"},
    "section": {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"},
    "material": "aluminium 5754-O",
    "tool": {
        "patch_length": "20 mm",
        "patch_depth": "15 mm",
        "strain_per_stroke": 0.004,
        "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8},
    },
    "pitch": "40 mm",
    "template": "inside",
    "gauge": "feeler leaves",
    "tolerance": "0.5 mm",
}
"""A made-up rib with twelve stations"""


@pytest.fixture
def rib() -> dict[str, Any]:
    """The made-up rib's job document."""
    return dict(RIB)


@pytest.fixture
def start() -> Iterator[Callable[..., headless.Driver]]:
    """Starts the app on a shop in memory, on a screen of a given size; stops it after the test."""
    from shopapp.app import GapwrightApp
    from shopapp.palette import BRIGHT
    from shopapp.widgets.look import look

    drivers: list[headless.Driver] = []

    def begin(screen: Screen = SIZES["10 inch"], shop: Any = None, **more: Any) -> headless.Driver:
        shop = core.Shop(core.MemoryFolder()) if shop is None else shop
        app = GapwrightApp(shop, **more)
        look.use_density(screen.dpi)
        look.palette = BRIGHT
        driver = headless.Driver(app, screen.size_px)
        drivers.append(driver)
        driver.start()
        return driver

    yield begin
    for driver in drivers:
        driver.stop()
