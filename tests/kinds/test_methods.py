"""How a dish is made, by limits of the metal and by what the tools do."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.geometry.meridian import spherical
from core.kinds.methods import BOTH, Asked, asked_of, by_limits, ways_of
from core.limitreasons import _about_used_up
from tests.made_up import bowl

DEEP = {"radius": "200 mm", "angle": "90 deg"}


def method_of(**changes: Any) -> str:
    part = core.job(bowl(**changes)).part
    assert isinstance(part, core.ReadOnMeridians)
    return next(iter(part.discs_mm))


def hemisphere(takes: Asked) -> dict[str, Asked]:
    meridian = spherical(200.0, angle_rad=0.5 * np.pi)
    return asked_of(meridian, ways_of(meridian, takes))


def test_what_each_method_asks_of_a_hemisphere() -> None:
    """Rim of pi R/2 to R: ln(pi/2); pole of a dome that keeps its rim: ln 2; rim of sqrt 2 R to R: ln sqrt 2
    (areas and arcs of any handbook of geometry)."""
    asked = hemisphere({"shrink": 0.25, "stretch": 0.25})
    assert set(asked["shrink the edge"]) == {"shrink"} and set(asked["dome from the middle"]) == {"stretch"}
    assert asked["shrink the edge"]["shrink"] == pytest.approx(np.log(np.pi / 2), rel=1e-4)
    assert asked["dome from the middle"]["stretch"] == pytest.approx(np.log(2.0), rel=1e-2)
    assert asked["keep the area"]["shrink"] == pytest.approx(0.5 * np.log(2.0), rel=1e-4)


def test_the_first_that_fits_else_the_one_that_asks_least() -> None:
    for takes, taken in (
        ({"shrink": 0.5, "stretch": 0.9}, "shrink the edge"),
        ({"shrink": 0.3, "stretch": 0.9}, "dome from the middle"),
        ({"shrink": 0.4}, "keep the area"),
        ({"shrink": 0.35, "stretch": 0.35}, "keep the area"),  # both ways fit as well, and want two tools
        ({"shrink": 0.32, "stretch": 0.32}, BOTH),
        ({"shrink": 0.1, "stretch": 0.1}, BOTH),  # asks least
        ({"shrink": 0.1}, "keep the area"),
        ({"stretch": 0.1}, "dome from the middle"),
    ):
        assert by_limits(hemisphere(takes), takes) == taken


@pytest.mark.parametrize("given", [..., "by limits"])
def test_a_job_may_leave_it_to_the_limits(given: Any) -> None:
    assert method_of(method=given) == "shrink the edge"
    assert method_of(method=given, tool__actions=["stretch"]) == "dome from the middle"
    (said,) = [w for w in core.job(bowl(method=given)).warnings if w.startswith("Method by limits")]
    assert "'shrink the edge': the metal gets up to 6.76 % shorter, and may get 22.1 %." in said
    (said,) = [
        w
        for w in core.job(bowl(method=given, tool__actions=["stretch"])).warnings
        if w.startswith("Method by limits")
    ]
    assert "not 'shrink the edge'" in said and "which no tool here does" in said


def test_a_method_that_no_tool_does_has_no_pass_and_names_another() -> None:
    """By 'dome from the middle' everything is stretched: shrinking some rings would only spoil the disc."""
    job = core.job(bowl(method="dome from the middle", tool__actions=["shrink"]))
    assert any("Another method would do: 'shrink the edge'" in said for said in job.warnings)
    advice = core.refit(job, [])
    assert advice.next_pass is None and advice.remaining == ()
    assert any("which no tool of this job does" in reason for reason in advice.reasons)
    assert not any("No whole stroke" in reason for reason in advice.reasons)


def test_metal_that_is_used_up_names_the_other_method_and_the_limit() -> None:
    """A cap whose rim stands at 1.2 rad asks ln(1.2/sin 1.2) = 0.253 by shrinking the edge, and
    ln(1/cos 0.6) = 0.192 with its area kept; 0.2 is what is set here, as a usual limit would be."""
    shape = {"radius": "150 mm", "angle": "1.2 rad"}
    job = core.job(bowl(shape=shape, method="shrink the edge"))
    usual = replace(job.limits.in_all, strain=0.2)
    used = {("shrink", usual): [4]}
    (said,) = _about_used_up(replace(job, limits=replace(job.limits, in_all=usual)), used)
    assert "Another method would do, from a disc of its own: 'keep the area'" in said
    assert "may set the strain allowed in the whole job itself: that one is common practice" in said
    own = replace(usual, own=True)
    (said,) = _about_used_up(replace(job, limits=replace(job.limits, in_all=own)), {("shrink", own): [4]})
    assert "common practice." not in said
