"""Shapes of section that the trade curves: angle, channel, Z, T and flat bar on edge.

One function a shape; its keywords are the dimensions, outer, in mm. The heel is at y = 0, the worked
flange reaches from it to its free edge (for a T the stem, for a flat bar the bar itself).
"""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from typing import Any

from core.errors import InputError
from core.geometry.section import OtherFlange, Rectangle, Section, Wall


def section_from(*, shape: str, **dimensions: Any) -> Section:
    """Section of a named shape: "angle", "channel", "Z", "T" or "flat bar".

    Dimensions in mm: angle (worked, other, thickness); channel (web, flange, thickness, worked "both" or
    "one"); Z (web, flange, other_flange, thickness); T (depth of the worked stem over all, flange,
    thickness); flat bar (depth, thickness). Raises InputError with fields such as
    ``section.thickness`` for what is unknown, missing, not above 0 or does not fit.
    """
    build = SHAPES.get(shape) if isinstance(shape, str) else None
    if build is None:
        raise InputError("section.shape", shape, f"one of {', '.join(SHAPES)} is wanted")
    known = inspect.signature(build).parameters
    for name, value in dimensions.items():
        if name not in known:
            raise InputError(f"section.{name}", value, f"a {shape} has {', '.join(known)}")
    for name, parameter in known.items():
        if name not in dimensions and parameter.default is inspect.Parameter.empty:
            raise InputError(f"section.{name}", None, f"a {shape} wants {', '.join(known)}")
    return build(**dimensions)


def angle(*, worked: float, other: float, thickness: float) -> Section:
    """Angle with the flange ``worked`` in the plane of curvature and the flange ``other`` upright."""
    t = _length("thickness", thickness)
    b, h = _leg("worked", worked, t), _leg("other", other, t)
    return Section(
        shape="angle",
        thickness_mm=t,
        flange_mm=b,
        rectangles=(Rectangle(0, b, 0, t), Rectangle(0, t, t, h)),
        worked=(Rectangle(0, b, 0, t),),
        nodes_mm=((t / 2, t / 2), (t / 2, h), (b, t / 2)),
        walls=(Wall(0, 1, t), Wall(0, 2, t)),
        worked_walls=(1,),
        other=OtherFlange("upright flange", Rectangle(0, t, 0, h, "z1"), 0, h),
    )


def channel(*, web: float, flange: float, thickness: float, worked: str = "both") -> Section:
    """Channel with its web upright at the heel, worked on both flange edges or on the one at z = 0."""
    t = _length("thickness", thickness)
    b, h = _leg("flange", flange, t), _leg("web", web, t, walls=2)
    counts = {"one": 1, "both": 2}
    if worked not in counts:
        raise InputError("section.worked", worked, 'a channel is worked on "both" or "one" of its flanges')
    flanges = (Rectangle(0, b, 0, t), Rectangle(0, b, h - t, h))
    return Section(
        shape="channel",
        thickness_mm=t,
        flange_mm=b,
        rectangles=(*flanges, Rectangle(0, t, t, h - t)),
        worked=flanges[: counts[worked]],
        nodes_mm=((t / 2, t / 2), (t / 2, h - t / 2), (b, t / 2), (b, h - t / 2)),
        walls=(Wall(0, 1, t), Wall(0, 2, t), Wall(1, 3, t)),
        worked_walls=(1, 2)[: counts[worked]],
        other=OtherFlange("other flange", flanges[1], 2, b) if worked == "one" else None,
    )


def zed(*, web: float, flange: float, thickness: float, other_flange: float | None = None) -> Section:
    """Z with its web upright at the heel, the worked flange towards y > 0, the other one away from it.

    other_flange : outer width of the other flange; as wide as the worked one if not given
    """
    t = _length("thickness", thickness)
    b, h = _leg("flange", flange, t), _leg("web", web, t, walls=2)
    beyond = _leg("other_flange", flange if other_flange is None else other_flange, t)
    far = t - beyond
    return Section(
        shape="Z",
        thickness_mm=t,
        flange_mm=b,
        rectangles=(Rectangle(0, b, 0, t), Rectangle(0, t, t, h - t), Rectangle(far, t, h - t, h)),
        worked=(Rectangle(0, b, 0, t),),
        nodes_mm=((t / 2, t / 2), (t / 2, h - t / 2), (b, t / 2), (far, h - t / 2)),
        walls=(Wall(0, 1, t), Wall(0, 2, t), Wall(1, 3, t)),
        worked_walls=(1,),
        other=OtherFlange("other flange", Rectangle(far, t, h - t, h, "y0"), 2, beyond),
    )


def tee(*, depth: float, flange: float, thickness: float) -> Section:
    """T with its flange at the heel, across the plane of curvature, and its stem worked."""
    t = _length("thickness", thickness)
    d, b = _leg("depth", depth, t), _leg("flange", flange, t)
    return Section(
        shape="T",
        thickness_mm=t,
        flange_mm=d,
        rectangles=(Rectangle(0, t, -b / 2, b / 2), Rectangle(t, d, -t / 2, t / 2)),
        worked=(Rectangle(0, d, -t / 2, t / 2),),
        nodes_mm=((t / 2, 0.0), (t / 2, -b / 2), (t / 2, b / 2), (d, 0.0)),
        walls=(Wall(0, 1, t), Wall(0, 2, t), Wall(0, 3, t)),
        worked_walls=(2,),
    )


def flat_bar(*, depth: float, thickness: float) -> Section:
    """Flat bar on edge: its depth lies in the plane of curvature."""
    t = _length("thickness", thickness)
    d = _leg("depth", depth, t)
    bar = Rectangle(0, d, -t / 2, t / 2)
    return Section(
        shape="flat bar",
        thickness_mm=t,
        flange_mm=d,
        rectangles=(bar,),
        worked=(bar,),
        nodes_mm=((0.0, 0.0), (d, 0.0)),
        walls=(Wall(0, 1, t),),
        worked_walls=(0,),
    )


SHAPES: dict[str, Callable[..., Section]] = {
    "angle": angle,
    "channel": channel,
    "Z": zed,
    "T": tee,
    "flat bar": flat_bar,
}


def _length(name: str, value: Any) -> float:
    if (
        isinstance(value, bool)
        or not isinstance(value, (int, float))
        or not math.isfinite(value)
        or value <= 0
    ):
        raise InputError(f"section.{name}", value, "a length in mm greater than 0 is wanted")
    return float(value)


def _leg(name: str, value: Any, thickness_mm: float, walls: int = 1) -> float:
    """A leg's outer width, wider than the walls that stand across it."""
    width = _length(name, value)
    if width <= walls * thickness_mm:
        what = f"less than {width / walls:g} mm is wanted, as section.{name} is {width:g} mm"
        raise InputError("section.thickness", thickness_mm, what)
    return width
