"""Templates that can be laid to a hoop, and those that cannot.

By hand: a half disc goes into a half ring; more than half a disc does not come out of one that closed on it.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.optimize import linprog

import core
from core.readings.laying import turn_under
from tests.made_up import rib

SWEEP = {"sweep": "150 mm"}


def hoop(turn_deg: float, template: Any = "layout line", radius: float = 300.0) -> dict[str, Any]:
    return rib(line={"radius": f"{radius} mm", "angle": f"{turn_deg} deg"}, template=template)


@pytest.mark.parametrize("name", ["inside", "outside"])
def test_a_template_that_touches_goes_round_half_a_turn_at_most(name: str) -> None:
    assert core.job(hoop(180, name)).template.name == name
    with pytest.raises(core.InputError) as caught:
        core.job(hoop(181, name))
    assert (caught.value.field, caught.value.value) == ("template", name)
    assert "181°" in str(caught.value) and "layout line" in str(caught.value)


@pytest.mark.parametrize("turn_deg", [170, 190])
def test_half_a_turn_is_where_a_rigid_motion_ceases_to_clear(turn_deg: float) -> None:
    """By scipy.optimize.linprog: is there a motion that lifts a finished part off its template everywhere?"""
    part = core.job(hoop(turn_deg)).part
    along = np.linspace(0.0, part.length_mm, 101)
    columns = part.linearise(np.zeros(len(part.sites)), at_mm=along).seating[:, :2]
    found = linprog(np.zeros(2), A_ub=-columns, b_ub=-np.ones(len(columns)), bounds=[(None, None)] * 2)
    assert (found.status == 0) == (turn_deg < 180)


def test_a_layout_line_and_a_sweep_go_all_round() -> None:
    for template in ("layout line", SWEEP):
        advice = core.refit(core.job(hoop(355, template)), [])
        assert 0.0 < advice.widest_gap_mm < 600.0  # less than the hoop is wide
    assert turn_under(core.job(hoop(355, SWEEP)).part, core.template_from(SWEEP)) == pytest.approx(
        0.5,
        abs=0.01,  # 150 mm of a radius of 300 mm
    )


def test_a_sweep_longer_than_half_a_small_hoop_is_refused() -> None:
    with pytest.raises(core.InputError, match="a shorter one is wanted"):
        core.job(hoop(355, {"sweep": "200 mm"}, radius=60.0))


def test_the_template_of_a_round_is_held_to_the_same() -> None:
    job = core.job(hoop(270))
    event = core.gaps_read([0.1] * len(job.part.sites), template="inside")
    with pytest.raises(core.InputError) as caught:
        core.refit(job, [event])
    assert caught.value.field == "events[0].template"


def test_nearly_half_a_turn_is_doubted() -> None:
    for turn_deg, template, told in [(140, "inside", 0), (170, "inside", 1), (170, "layout line", 0)]:
        warnings = core.job(hoop(turn_deg, template)).warnings
        assert sum("nearly half a turn" in sentence for sentence in warnings) == told


def test_a_line_that_would_meet_itself_is_refused() -> None:
    with pytest.raises(core.InputError) as caught:
        core.job(rib(line={"segments": [["1000 mm", "300 mm"], ["1000 mm", "300 mm"]]}))
    assert caught.value.field == "line.segments"
    assert "382°" in str(caught.value)
    both_ways = {"segments": [["1000 mm", "300 mm"], ["1000 mm", "-300 mm"]]}
    assert core.job(rib(line=both_ways, template="layout line")).part.length_mm == pytest.approx(2000.0)
