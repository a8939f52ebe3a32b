"""Half rings and hoops followed on a simulated bar, whose geometry is its own (core.simulate.shape)."""

from __future__ import annotations

from typing import Any

import pytest

import core
from tests.estimate.logs import worked
from tests.made_up import rib


@pytest.mark.parametrize(
    "turn_deg, template", [(180.0, "inside"), (180.0, "outside"), (355.0, {"sweep": "200 mm"})]
)
def test_a_wide_bend_is_known_as_well_as_a_shallow_one(turn_deg: float, template: Any) -> None:
    """After two passes, most of the bend made: the widest gap is that of the bar to 6 % or half the rule's
    step."""
    line = {"radius": "400 mm", "angle": f"{turn_deg} deg"}
    job = core.job(rib(line=line, template=template, gauge="steel rule", pitch="80 mm"))
    events = worked(job, 2, share=0.9)
    advice = core.refit(job, events)
    true = core.answering_part(job, events, 3).widest_gap_mm()
    assert advice.widest_gap_mm == pytest.approx(true, rel=0.06, abs=0.25)
    assert advice.verdict == "outside" and len(advice.suspects) <= 1
