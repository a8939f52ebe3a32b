"""One shop in memory, one on disk; each looked at as it is and after it was closed and opened again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from core.store import MemoryFolder, Shop

JOB = {"name": "Shutter rib 3", "kind": "section", "tolerance": "0.5 mm"}  # invented
START = datetime(2030, 5, 17, 9, 30, tzinfo=timezone(timedelta(hours=2)))


class HandClock:
    """Moves on by one second at each look."""

    def __init__(self) -> None:
        self.moment = START

    def __call__(self) -> datetime:
        self.moment += timedelta(seconds=1)
        return self.moment


class Place:
    """A data folder that can be opened, and opened again."""

    def __init__(self, folder: Path | MemoryFolder, again: bool) -> None:
        self.folder = folder
        self.again = again
        self.clock = HandClock()
        self.shop = Shop(folder, now=self.clock)

    def settled(self) -> Shop:
        """The shop as the test should look at it: still open, or opened again."""
        if self.again:
            self.shop.close()
            self.shop = Shop(self.folder, now=self.clock)
        return self.shop


@pytest.fixture(params=["memory", "memory, reopened", "disk", "disk, reopened"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Place]:
    folder = MemoryFolder() if request.param.startswith("memory") else tmp_path / "data"
    made = Place(folder, again="reopened" in request.param)
    yield made
    made.shop.close()


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "data"


@pytest.fixture
def opened(data: Path) -> Iterator[Callable[[], Shop]]:
    """Opens the shop in ``data``; whatever is still open at the end is closed."""
    shops: list[Shop] = []

    def open_it() -> Shop:
        shops.append(Shop(data, now=lambda: datetime(2030, 5, 17, tzinfo=UTC)))
        return shops[-1]

    yield open_it
    for shop in shops:
        shop.close()
