"""A dish that is not quite round: what rounds on several meridians say of it, and the step that takes it out.

The truth that answers here has Lord Rayleigh's modes of a sphere in closed form, (n + cos phi) tan^n(phi/2)
(held against vanishing strains in tests/geometry/test_inextensional.py), not those of the core.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import pytest

import core
from core.errors import InputError
from core.joblog import checked_log
from core.readings.offering import offer
from core.readings.rounds import steps_of
from core.estimate.fit import fit
from core.estimate.seated import Reading
from tests.made_up import bowl, flange, rib

JOB = core.job(bowl(tolerance="0.5 mm"))
PART = JOB.part
N = len(PART.sites)
RADIUS = 300.0
FIVE = (0.0, 45.0, 90.0, 135.0, 180.0)
HARDLY = 0.02  # share of the target that is still to be done: a fifth of a mm or so


def rayleigh(s_mm: np.ndarray, n: int) -> np.ndarray:
    """1 at the rim."""
    phi = np.append(s_mm, PART.length_mm) / RADIUS
    mode = (n + np.cos(phi)) * np.tan(phi / 2) ** n
    return mode[:-1] / mode[-1]


def radial(n: int) -> float:
    """Of the rim, per mm outward: p = w sin phi + u cos phi with u = -sin phi tan^n(phi/2)."""
    phi = PART.length_mm / RADIUS
    return n * np.sin(phi) / (n + np.cos(phi))


@dataclass
class Sheet:
    """A dish in truth. left : work; lobes : by number, complex c e^(i n theta), mm at the rim."""

    left: np.ndarray
    lobes: dict[int, complex] = field(default_factory=dict)
    rng: np.random.Generator = field(default_factory=lambda: np.random.default_rng(3))
    noise: float = 0.05

    def outward(self, s_mm: np.ndarray, at_deg: float) -> np.ndarray:
        turn = np.exp(-1j * np.radians(at_deg))
        shown = [(c * turn**n).real * rayleigh(s_mm, n) for n, c in self.lobes.items()]
        return sum(shown, np.zeros(len(s_mm)))

    def round(self, at_deg: float, job: core.Job = JOB) -> dict[str, Any]:
        s = PART.sites.position_mm
        places = np.concatenate([s, 0.5 * (s[1:] + s[:-1])])
        gaps = offer(PART, job.template, self.left, lobes=self.outward(places, at_deg)).readings_mm[:N]
        gaps = gaps + self.rng.normal(0.0, self.noise, N)
        return core.gaps_read([float(gap) for gap in np.round(10 * gaps.clip(0.0)) / 10], at_deg=at_deg)

    def rounds(self, angles: tuple[float, ...] = FIVE) -> list[dict[str, Any]]:
        return [self.round(at % 360.0) for at in angles]


def lobed(two: complex = 0.0, three: complex = 0.0, left: float = HARDLY, **more: Any) -> Sheet:
    return Sheet(left * PART.target, {2: two, 3: three}, **more)


def nearly_done() -> dict[str, Any]:
    """A pass that by the first guess leaves HARDLY."""
    job = core.job(bowl())
    one = job.part.work_per_strain() * job.tool.strain_per_stroke
    strokes = ((1.0 - HARDLY) * PART.target / one) ** (1 / 0.85)
    return core.pass_done("shrink", [int(m) for m in np.maximum(np.rint(strokes), 0)])


def polar(size: float, at_deg: float, n: int) -> complex:
    return size * np.exp(1j * n * np.radians(at_deg))


def test_an_oval_is_told_from_what_is_even():
    sheet = lobed(two=polar(1.2, 35.0, 2))
    advice = core.refit(JOB, [nearly_done(), *sheet.rounds()])
    two, three = advice.lobing.lobes
    assert two.told and three.told
    assert abs(two.amplitude_mm - 1.2) < 3 * two.amplitude_sd_mm < 0.3
    assert abs(two.at_deg - 35.0) < 3 * two.at_sd_deg < 10.0
    assert abs(three.amplitude_mm) < 3 * three.amplitude_sd_mm
    assert two.radial_mm == pytest.approx(two.amplitude_mm * radial(2), rel=1e-4)
    print(advice.reasons, advice.verdict, advice.widest_gap_mm, advice.chance_within)
