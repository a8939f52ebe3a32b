"""What of a dish lies elsewhere than it is reckoned, and what is said of that before the disc is cut."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.kinds.dish import DishPart
from core.kinds.dish_off import BEND_OFF
from core.kinds.methods import BOTH
from core.simulate import draw_truth
from tests.made_up import bowl

Array = np.ndarray[Any, np.dtype[np.float64]]
WIDE = {"strain_total": 0.6}


def end(knuckle: float, **changes: Any) -> core.Job:
    """An invented dished end."""
    shape = {"crown_radius": "400 mm", "knuckle_radius": f"{knuckle} mm", "diameter": "400 mm"}
    given = {"shape": shape, "pitch": "20 mm", "template": "layout line", "limits": WIDE}
    return core.job(bowl(**{**given, **changes}))


def dish(job: core.Job) -> DishPart:
    assert isinstance(job.part, DishPart)
    return job.part


def cap(angle: float, **changes: Any) -> core.Job:
    shape = {"radius": "200 mm", "angle": f"{angle} deg"}
    return core.job(bowl(shape=shape, pitch="20 mm", template="layout line", **changes))


def worked(job: core.Job) -> Array:
    """How far a simulated dish lies off the geometry by the work that it truly had, its seating taken out:
    each action in six light passes, then to and fro until hardly any work is left."""
    part = job.part
    truth = draw_truth(np.random.default_rng([77, 1]), job.tool.bites)
    made = core.simulated_part(job, 1, replace(truth, scatter=0.0, placement_mm=0.0))
    plan = ["stretch"] * 6 + ["shrink"] * 6 + ["stretch", "shrink"] * 10
    for k, action in enumerate(plan):
        left = part.target - made.work_done()
        share = 1.0 / (6 - k % 6) if k < 12 else 0.8
        wanted = np.maximum(left if action == "shrink" else -left, 0.0) * share
        strokes = np.round(wanted / made.first_stroke(action, "light")).astype(int)
        if strokes.any():
            made.work(action, "light", strokes.tolist())
    here = part.linearise(part.target - made.work_done())
    off = made.true_deviation_mm() - here.deviation_mm
    along = here.seating[:, 0]
    return np.asarray(off - along * (along @ off) / (along @ along))


@pytest.mark.parametrize("knuckle", [25.0, 40.0, 60.0])
def test_a_knuckle_is_as_far_off_as_is_believed(knuckle: float) -> None:
    """In the rings beside it, between a third and twice the standard deviation, in the mean square."""
    job = end(knuckle, method="shrink the edge")
    off, believed = worked(job), dish(job).bend_off_mm
    beside = (believed > 0.5 * believed.max()) & (np.arange(len(off)) < len(off) - 1)
    ratio = float(np.sqrt(np.mean(off[beside] ** 2)) / np.sqrt(np.mean(believed[beside] ** 2)))
    assert np.count_nonzero(beside) >= 2 and 0.33 < ratio < 2.0


def test_it_goes_by_the_change_of_bend_and_the_sheet() -> None:
    """A knuckle of 40 mm beside a crown of 400: rings next to where they meet; none on a sphere."""
    assert dish(cap(60.0)).bend_off_mm == pytest.approx(0.0, abs=1e-9)
    for thick in (1.0, 3.0):
        part = dish(end(40.0, thickness=f"{thick} mm"))
        radius = part.blank.meridian.points_mm(part.sites.position_mm)[:, 0]
        told = part.bend_off_mm / (radius * thick * (1.0 / 40.0 - 1.0 / 400.0))
        beside = told > 0.0
        assert np.count_nonzero(beside) >= 3 and not beside[:5].any()
        assert told[beside] == pytest.approx(BEND_OFF)


def test_what_cannot_be_reached_is_said_beforehand() -> None:
    def said(job: core.Job, words: str) -> list[str]:
        return [warning for warning in job.warnings if words in warning]

    sharp = "the bend of the meridian changes more sharply"
    (told,) = said(end(40.0), sharp)
    assert " mm off there" in told and "beside a tolerance of 1.00 mm" in told
    assert not said(end(60.0), sharp) and not said(end(40.0, tolerance="2 mm"), sharp)


def test_a_dish_made_both_ways_is_known_less_well() -> None:
    """At last as well as half-way, by the change of thickness as well; beside a knuckle it is known better
    than how far off it stays there."""
    job = cap(60.0, method=BOTH)
    single = core.job({**job.document, "method": "shrink the edge"})
    for share in (0.0, 0.5):
        gaps = np.full(len(single.part.sites), share * float(dish(job).blank.meridian.rim_mm[1]))
        both = dish(job).shape_off_mm(gaps[: len(job.part.sites)])[4]
        assert both > 1.15 * dish(single).shape_off_mm(gaps)[4]
    part = dish(end(40.0, method=BOTH))
    knuckle = int(np.argmax(part.bend_off_mm))
    assert part.shape_off_mm(np.zeros(len(part.target)))[knuckle] < 0.5 * part.bend_off_mm[knuckle]


def test_passes_that_limits_alone_ask_for_are_said_beforehand() -> None:
    """0.24 longer and 0.21 shorter by 0.03 at most in a pass: fifteen."""
    both = {"method": BOTH, "limits": {"strain_total": 0.25}}
    (told,) = [w for w in cap(80.0, **both).warnings if "passes before anything" in w]
    assert "shorter and 27.2 % longer, with no more than 3 %" in told and "some 15 passes" in told
    wider = {"method": BOTH, "limits": {"strain_total": 0.25, "strain_per_pass": 0.06}}
    for job in (cap(80.0, **wider), cap(60.0, **both)):
        assert not any("passes before anything" in w for w in job.warnings)
