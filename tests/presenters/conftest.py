"""A shop in memory with one part, a clock moved by hand, and advice that a test can set.

The rib is invented: an aluminium shutter rib for an observatory's dome.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

import core
from core import Advice, MemoryFolder, Pass, Zone
from shopapp.presenters.session import Session

RIB = {
    "name": "Shutter rib 3",
    "kind": "section",
    "line": {"radius": "1500 mm", "length": "400 mm"},
    "section": {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"},
    "material": "aluminium 5754-O",
    "tool": {"patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": 0.004},
    "pitch": "40 mm",
    "template": "inside",
    "gauge": "feeler leaves",
    "tolerance": "0.5 mm",
}
SITES = 10


class Clock:
    """Moved by hand; each look at it takes no time."""

    def __init__(self) -> None:
        self.time = datetime(2026, 3, 14, 15, 9, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time

    def pass_by(self, seconds: float) -> None:
        self.time += timedelta(seconds=seconds)


def a_pass(action: str = "shrink", bite: str = "medium", each: int = 3, gap: float = 0.42) -> Pass:
    """A pass with the same count everywhere but at the last two sites."""
    strokes = np.full(SITES, each)
    strokes[-2:] = 0
    zone = Zone(0, SITES - 3, each, 12.0, 26.7)
    return Pass(action, bite, strokes, gap, 0.05, np.zeros(SITES), 0.04, (zone,))


def an_advice(**changes: Any) -> Advice:
    """Advice as after one round: outside, one pass to go, 0.30 mm expected everywhere with sd 0.04."""
    following = (a_pass(),)
    plain = Advice(
        verdict="outside",
        chance_within=0.02,
        widest_gap_mm=1.2,
        widest_gap_sd_mm=0.05,
        widest_at=6,
        deviation_mm=np.full(SITES, 0.3),
        deviation_sd_mm=np.full(SITES, 0.04),
        expected_reading_mm=np.full(SITES, 0.3),
        expected_reading_sd_mm=np.full(SITES, 0.0408163),
        remaining_work=np.zeros(SITES),
        remaining_work_sd=np.zeros(SITES),
        next_pass=following[0],
        remaining=following,
        before=(),
        response={},
        suspects=(),
        reseat=None,
        reasons=(),
        warnings=(),
        side_effects=None,
        side_effects_then=None,
        side_effects_end=None,
        counter=None,
        edge_strain=np.zeros(SITES),
        limit_use=core.LimitUse(np.zeros(SITES), (core.Limits().per_pass,) * SITES),
        thickness_mm=np.full(SITES, 1.5),
        thickness_then_mm=np.full(SITES, 1.52),
        passes_done=0,
        gap_history_mm=(),
    )
    return replace(plain, **changes)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def folder() -> MemoryFolder:
    return MemoryFolder()


@pytest.fixture
def advise(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Make the core answer with this advice; without a call it answers with ``an_advice()``."""
    answer: dict[str, Any] = {"advice": an_advice()}

    def refit(job: Any, events: Any) -> Advice:
        wanted = answer["advice"]
        return wanted(events) if callable(wanted) else wanted

    monkeypatch.setattr(core, "refit", refit)

    def use(advice: Any = None, **changes: Any) -> None:
        answer["advice"] = an_advice(**changes) if advice is None else advice

    return use


@pytest.fixture
def session(folder: MemoryFolder, clock: Clock, advise: Callable[..., None]) -> Any:
    """A session with the rib open and the cautions read."""
    with core.Shop(folder, now=clock) as shop:
        one = Session(shop, now=clock, who="A. Worker")
        one.open(shop.new_part(RIB))
        one.log({**core.note("Cautions read and understood"), "cautions": "understood"})
        yield one


def events_of(session: Session, name: str) -> list[dict[str, Any]]:
    """The events of this form, as they are in the store."""
    return [e for e in session.shop.open(session.part_id).events if e["event"] == name]


def key(view: Any, name: str) -> Any:
    """The key of this name in a view."""
    found = [
        k for k in (*view.keys, *getattr(view, "pad", ()), *getattr(view, "leaves", ())) if k.name == name
    ]
    assert found, f"no key {name} among {[k.name for k in view.keys]}"
    return found[0]


def settled(session: Session) -> Session:
    """The session with its advice up to date, as after the screen's thread has come back."""
    while session.waiting:
        session.finish(session.begin().run())
    return session
