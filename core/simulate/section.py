"""The section of a simulated disc along one meridian, and what a template meets that is laid along it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.meridian import Meridian
from core.readings.templates import Template

Array = NDArray[np.float64]
ASLANT_RAD = np.radians(60.0)  # a gauge held more aslant to the sheet reads nothing of use
CLOSELY = 6.0  # mm between the places where a template is looked at
MOST_TRIES, SETTLED_MM = 80, 1e-7  # of laying a template


@dataclass(frozen=True)
class Section:
    """line : the meridian that the disc shall become; places_mm : (n,) where gaps are read, along it;
    nodes_mm : (m, 2) of the disc, from the pole, r and z"""

    line: Meridian
    places_mm: Array
    nodes_mm: Array

    def along(self) -> Array:
        """Where a template is looked at, from the first place to the last."""
        first, last = self.places_mm[[0, -1]]
        even = np.linspace(first, last, int(np.ceil((last - first) / CLOSELY)) + 1)
        return np.union1d(even, self.places_mm)

    def away(self, s_mm: Array, shift_mm: float) -> Array:
        """(r,) distance along the target's normal, > 0 outward, to the section's polygon, which goes straight
        on beyond the rim. shift_mm : of the disc, outward at the pole."""
        return self.met(s_mm, shift_mm)[0]

    def met(self, s_mm: Array, shift_mm: float) -> tuple[Array, NDArray[np.bool_]]:
        """The same, infinite where the normal passes the section by, and whether a gauge could be held there:
        on the disc itself, and not too aslant to it."""
        target, slope = self.line.points_mm(s_mm), self.line.slope_rad(s_mm)
        nodes = self.nodes_mm - np.array([0.0, shift_mm])
        over = nodes[-1] - nodes[-2]
        nodes = np.vstack([nodes[1] * [-1.0, 1.0], nodes, nodes[-1] + 1e3 * over])  # beyond pole and rim
        tangent = np.column_stack([np.cos(slope), np.sin(slope)])
        outward = np.column_stack([tangent[:, 1], -tangent[:, 0]])
        away = nodes[None, :, :] - target[:, None, :]
        ahead, out = (np.einsum("rmk,rk->rm", away, way) for way in (tangent, outward))
        crosses = (ahead[:, :-1] <= 0.0) & (ahead[:, 1:] > 0.0)
        share = ahead[:, :-1] / np.where(crosses, ahead[:, :-1] - ahead[:, 1:], 1.0)
        met = np.where(crosses, out[:, :-1] + share * (out[:, 1:] - out[:, :-1]), np.inf)
        cell = np.argmin(np.abs(met), axis=1)
        place = np.arange(len(s_mm))
        steps = np.diff(nodes, axis=0)
        across = np.abs(np.arctan2(steps[cell, 1], steps[cell, 0]) - slope)
        held = (across < ASLANT_RAD) & ((cell < len(steps) - 1) | (share[place, cell] * 1e3 < 1.0))
        return np.asarray(met[place, cell]), held

    def rest(self, template: Template, error: Array | float = 0.0) -> float:
        """The shift outward at the pole under which the template touches, or lies with the least largest
        deviation. Places whose normal passes the disc by do not hold it up."""
        at = self.along()

        def clear(shift: float) -> float:
            """Rises with the template's way off the disc, and is nothing where it rests."""
            gaps = template.sign * (self.away(at, template.sign * shift) - error)
            gaps = gaps[np.isfinite(gaps)]
            if not len(gaps):  # so far off that nothing meets
                return shift
            return float(np.min(gaps) + (0.0 if template.rigid else np.max(gaps)))

        reach = self.line.length_mm
        return template.sign * _zero(clear, -reach, reach)


def _zero(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that rises between two places is nothing: false position, the end that stays put
    taken at half its value (Illinois)."""
    at_low, at_high = rising(low), rising(high)
    if at_low >= 0.0 or at_high <= 0.0:
        return low if at_low >= 0.0 else high
    place, side = low, 0
    for _ in range(MOST_TRIES):
        before, place = place, high - at_high * (high - low) / (at_high - at_low)
        value = rising(place)
        if abs(place - before) < SETTLED_MM:
            break
        if value > 0.0:
            high, at_high, at_low, side = place, value, at_low * (0.5 if side > 0 else 1.0), 1
        else:
            low, at_low, at_high, side = place, value, at_high * (0.5 if side < 0 else 1.0), -1
    return place
