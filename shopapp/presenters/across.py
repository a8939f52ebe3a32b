"""What is read straight across a rim, angle by angle: its diameters, and its heights over the middle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import core
from shopapp.presenters.pieces import Key

# What is measured with, besides the steel rule (common practice, no source)
USUAL = "steel rule"
LONG_REACH = {"step": "0.05 mm", "repeatability": "0.1 mm", "largest": "1500 mm"}


@dataclass(frozen=True)
class Across:
    """One of them.

    event, values : of the log, and its field; made : the event of angles, values and a gauge; one, several :
    readings, in a word; title : of the screen; laid : what to do at the angle that follows; now_mm : expected
    with so much work left (n,); of_simulated : in a demo, what the disc reads at such angles; gauges : by
    name; far : share of the others that one may be off them unasked (common practice, no source); other : key
    to the other kind
    """

    event: str
    values: str
    made: Callable[..., dict[str, Any]]
    one: str
    several: str
    title: str
    laid: str
    now_mm: Callable[[core.ReadOnMeridians, Any], float]
    of_simulated: Callable[[core.SimulatedDish, Sequence[float], core.Gauge], list[float]]
    gauges: dict[str, Any]
    far: float
    other: Key


DIAMETERS = Across(
    event="rim_read",
    values="diameters_mm",
    made=core.rim_read,
    one="diameter",
    several="diameters",
    title="rim",
    laid="rim across at",
    now_mm=lambda part, work: part.rim_across(work)[0],
    of_simulated=lambda disc, at_deg, gauge: disc.diameters(at_deg, gauge),
    gauges={USUAL: USUAL, "calliper": {"name": "calliper", **LONG_REACH}},
    far=0.03,
    other=Key(
        "other", "Height", why="of the rim over the middle: depth stop under a straight-edge across it"
    ),
)
HEIGHTS = Across(
    event="heights_read",
    values="heights_mm",
    made=core.heights_read,
    one="height",
    several="heights",
    title="height",
    laid="under straight-edge at",
    now_mm=lambda part, work: part.rim_height(work)[0],
    of_simulated=lambda disc, at_deg, gauge: disc.heights(at_deg, gauge),
    gauges={USUAL: USUAL, "depth stop": {"name": "depth stop", **LONG_REACH}},
    far=0.1,
    other=Key("other", "Diameters", why="of the rim across"),
)
