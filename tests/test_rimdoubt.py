"""The rim read across counts: gaps that are within do not make a dish whose rim is out."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters.checks import check_row
from tests.made_up import bowl

JOB = core.job(bowl(tolerance="2 mm"))
AT = (0, 45, 90, 135)
RIM = 2.0 * math.sqrt(300.0**2 - 240.0**2)  # of a cap 60 mm deep, R 300 mm


@cache
def made() -> tuple[Any, ...]:
    """A log that ends within: passes as planned, gaps of a simulated disc on the meridians asked for."""
    disc, log = core.simulated_part(JOB, 3), []
    for _ in range(12):
        advice = core.refit(JOB, log)
        planned = advice.next_pass
        if planned is None:
            break
        strokes = [int(m) for m in planned.strokes]
        disc.work(planned.action, planned.bite, strokes)
        log.append(core.pass_done(planned.action, strokes, planned.bite))
        log.append(core.gaps_read(*disc.gaps_by_any_gauge()))
    assert core.refit(JOB, log).verdict == "within"
    return tuple(log)


@pytest.mark.parametrize(
    ("off", "verdict"), [(-15.0, "too close to call"), (15.0, "too close to call"), (0.6, "within")]
)
def test_a_rim_that_is_out_keeps_the_part_from_within(off: float, verdict: str) -> None:
    read = core.rim_read(AT, [RIM + off + small for small in (0.2, -0.2, 0.1, -0.1)])
    advice = core.refit(JOB, [*made(), read])
    assert advice.verdict == verdict
    said = [reason for reason in advice.reasons if reason.startswith("The rim reads")]
    assert len(said) == (verdict != "within")
    for sentence in said:
        assert f"15.00 mm {'less' if off < 0 else 'more'} than the 360.0 mm" in sentence
        assert ("stretch its edge" in sentence) is (off < 0)


def test_a_rim_read_before_the_last_pass_tells_of_another_shape() -> None:
    log = list(made())
    log.insert(-2, core.rim_read(AT, [RIM + 15.0] * 4))
    assert core.refit(JOB, log).verdict == "within"


def test_the_finish_check_knows_the_wanted_diameter() -> None:
    """360 mm, a tolerance of 2 mm either side: 356 to 364 mm; unless the job says other."""
    (check,) = [check for check in JOB.checks if check.name == "rim"]
    assert (check.low, check.high) == pytest.approx((RIM - 4.0, RIM + 4.0), abs=1e-6)
    log = [core.check_read("rim", 345.0)]
    (result,) = [r for r in core.check_results(JOB, log) if r.check.name == "rim"]
    assert result.verdict == "outside" and check_row(result).limit == "356.0 to 364.0 mm"
    own = core.job(bowl(checks=[{"name": "rim", "at_least": "350 mm", "at_most": "351 mm"}]))
    assert (own.checks[0].low, own.checks[0].high) == (350.0, 351.0)


def test_the_rim_of_the_disc_as_it_is() -> None:
    """Flat, the disc's own; finished, the target's."""
    part = JOB.part
    assert isinstance(part, core.ReadOnMeridians)
    assert part.rim_across(part.target)[0] == pytest.approx(2.0 * part.rings_mm[-1], abs=0.5)
    assert part.rim_across(np.zeros(len(part.sites)))[0] == pytest.approx(RIM, abs=0.5)
