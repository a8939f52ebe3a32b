"""Bars for the tests of the simulation: plain stock, and truths with one effect at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.geometry.line import TargetLine
from core.geometry.segments import from_segments
from core.jobtypes import Tool
from core.simulate import SimulatedBar, Stock, Struck, Truth

TOOL = Tool(20.0, 15.0, 0.004, {"light": 0.4, "medium": 1.0, "heavy": 1.8})
PLAIN = Truth()


def stock(line: TargetLine | None = None, pitch_mm: float = 40.0, **changes: Any) -> Stock:
    """An angle 40x40x1.5 for this line (a straight one of 960 mm); kink per strain from finite elements."""
    line = line or from_segments([(960.0, None)])
    stations = np.arange(0.5 * pitch_mm, line.length_mm, pitch_mm)
    width = np.full(len(stations), pitch_mm)
    struck = dict.fromkeys(("shrink", "stretch"), Struck(TOOL, 0.59604))
    return replace(Stock(line, stations, width, 40.0, 28.1, struck), **changes)


def simulated(truth: Truth = PLAIN, seed: int = 1, **changes: Any) -> SimulatedBar:
    """A simulated bar of that stock."""
    return SimulatedBar(stock(**changes), truth, seed)


@pytest.fixture
def bar() -> Callable[..., SimulatedBar]:
    """Maker of simulated bars: ``bar(truth, seed, line=..., pitch_mm=..., struck=...)``."""
    return simulated
