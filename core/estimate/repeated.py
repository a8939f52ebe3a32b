"""Readings that stand although all else disagrees: confirmed ones, and those that came out the same again."""

from __future__ import annotations

from math import hypot

from core.jobtypes import Job
from core.readings.rounds import CHANGES, Round, Step

ALIKE = 3.0  # standard deviations between two readings of one place


def stands(job: Job, steps: list[Step], k: int, site: int) -> bool:
    """Whether the reading of this site in this round stands, whatever all else says.

    One that another round since the same pass repeats with the same template on the same meridian does.
    """
    step = steps[k]
    assert isinstance(step, Round)
    if site in step.confirmed:
        return True
    return any(_same(step, other, site) for other in _beside(steps, k))


def _beside(steps: list[Step], k: int) -> list[Round]:
    """Other rounds of which no pass and nothing else that changes the part lies between."""
    found: list[Round] = []
    for way in (reversed(steps[:k]), iter(steps[k + 1 :])):
        for step in way:
            if isinstance(step, CHANGES):
                break
            if isinstance(step, Round):
                found.append(step)
    return found


def _same(one: Round, other: Round, site: int) -> bool:
    if one.template != other.template or one.meridian_rad != other.meridian_rad:
        return False
    if one.beyond[site] and other.beyond[site]:
        return True
    apart = abs(one.gaps_mm[site] - other.gaps_mm[site])  # NaN where one was not read
    return bool(apart <= ALIKE * hypot(one.sd_mm[site], other.sd_mm[site]))
