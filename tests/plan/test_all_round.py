"""What strokes cost where a site goes all round: time at the machine, not a pass."""

from __future__ import annotations

import core
from tests.made_up import bowl

SHAPE = {"radius": "300 mm", "depth": "60 mm"}


def test_a_dish_is_not_hammered_for_hours_to_spare_a_pass() -> None:
    """To half a millimetre, by rings of many spots: the light bite alone would spare one pass of five, and
    take two and a half hours for one; it is for the end."""
    job = core.job(bowl(shape=SHAPE, thickness="1.2 mm", pitch="25 mm", tolerance="0.5 mm"))
    planned = core.refit(job, []).remaining
    assert planned[0].bite != "light"
    spots = job.spots("shrink")
    assert [step.total for step in planned] == [round(float(spots @ step.strokes)) for step in planned]
    light = sum(job.part.target / (job.tool.strain("light") * job.part.covered()) * spots)
    assert sum(step.total for step in planned) < 0.5 * light
