"""How a change of length of its edge turns a flange, how far that is felt, and where it turns nothing.

The flange is a strip of height h and thickness t that turns about the outline (curvature k = 1/R) as a
whole. A turn by d strains the line at r from the outline by r k sin(alpha) d, its edge by h k sin(alpha) d.

**Turn.** A stroke shortens the patch from h - b to h by eps. The strip turns so that it is strained least:
the integral of (eps on the patch - r k sin(alpha) d) r over r is 0. The edge then follows the turn with

    3/2 (1 - (1 - b/h)^2) eps     (1.5 for a patch as deep as the flange, 0.83 for a third of it).

**Spread.** Beside the patch the bend stays as it was set, and the strip is taken along as far as its twist
gives. Of a turn d the elastic energies a length of outline are E t h^3/3 (k sin(alpha) d)^2/2 in hoop stress,
D d^2/(2 l) in the bend with an arc of length l, and G t^3 h/3 (d')^2/2 in twist, so that it falls off as
exp(-s/a) with

    a^2 = t^3 h/(6 (1 + nu)) / (t h^3 (k sin(alpha))^2/3 + t^3/(12 (1 - nu^2) l)).

Bending along the outline, D h^3/3 (d'')^2/2 more, flattens the peak and leaves the second moment, 2 a^2, as
it is. Shear along the outline evens out nothing of the turn: to the second power of h over the wave length it
changes it by 1/15 or -1/60 of (E/G)(2 pi h/length)^2 for a narrow and a full patch.

**Fold.** The edge turns the flange against the moment at which the bend yields, Y t^2/4 a length; hoop
stress Y all over the flange makes Y t h^2 k sin(alpha)/2. So where R > 2 h^2 sin(alpha)/t the edge yields and
the bend does not: no stroke on the edge turns it, a straight one least of all. (Rigid and perfectly plastic;
shown here, no other source.)
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
TINY_MM = 1e-30  # aside of the real line, by which slopes are taken


def edge_per_strain(depth_mm: ArrayLike, height_mm: ArrayLike) -> Array:
    """(...) shortening of the free edge that goes with the turn, by unit strain all along a patch;
    one that reaches down into the bend does no more."""
    left = np.maximum(1.0 - np.asarray(depth_mm) / np.asarray(height_mm), 0.0)
    return np.asarray(1.5 * (1.0 - left**2))


def folding_radius_mm(height_mm: ArrayLike, thickness_mm: ArrayLike, angle_rad: ArrayLike) -> Array:
    """(...) radius of the outline beyond which strokes on the edge do not turn a flange at this angle."""
    return np.asarray(2.0 * np.asarray(height_mm) ** 2 * np.sin(angle_rad) / np.asarray(thickness_mm))


def turning_from_rad(height_mm: ArrayLike, thickness_mm: ArrayLike, radius_mm: ArrayLike) -> Array:
    """(...) angle from which on strokes turn the flange; 90 degrees where they never do."""
    asked = np.abs(radius_mm) * np.asarray(thickness_mm) / (2.0 * np.asarray(height_mm) ** 2)
    return np.asarray(np.arcsin(np.minimum(asked, 1.0)))


def spread_mm(
    curvature_per_mm: ArrayLike,
    height_mm: float,
    thickness_mm: float,
    angle_rad: ArrayLike,
    arc_mm: float,
    poisson: float,
) -> Array:
    """(...) over which a turn falls to 1/e beside its patch; arc_mm : length of the bend round its corner."""
    leaning = np.asarray(curvature_per_mm, dtype=float) * np.sin(angle_rad)
    hoop = thickness_mm * height_mm**3 / 3.0 * leaning**2
    bend = thickness_mm**3 / (12.0 * (1.0 - poisson**2) * arc_mm)
    twist = thickness_mm**3 * height_mm / (6.0 * (1.0 + poisson))
    return np.asarray(np.sqrt(twist / (hoop + bend)))


def spread_shares(at_mm: Array, ends_mm: Array, spread: Array, closed: bool) -> Array:
    """(r, n) share of each sector's turn in the angle at these places (r,); every row adds up to 1.

    ends_mm : (n, 2) of the sectors along the outline, from its start to its end; spread : (n,) mm, of each
    sector; closed : the outline comes back to its start, else its ends are free. The strip in balance: within
    a sector theta = own + (left - own) sinh(rest/a)/sinh(w/a) + ..., and its twist goes on across a joint.
    """
    strip = _Strip(ends_mm, closed, at_mm)
    joints = strip.at_joints(_coefficients(spread, strip.width))
    left, right = strip.ratios(spread)
    felt = left[:, None] * joints[strip.before] + right[:, None] * joints[strip.beyond]
    felt[np.arange(len(at_mm)), strip.own] += 1.0 - left - right
    return np.asarray(felt)


def shares_moved(at_mm: Array, ends_mm: Array, spread: Array, closed: bool, turns: Array) -> Array:
    """(r, n) what the angle at these places, by :func:`spread_shares` of these turns (n,), changes by with
    the spread of each sector, rad/mm."""
    strip = _Strip(ends_mm, closed, at_mm)
    a = spread + 1j * TINY_MM  # of what every sector has for itself the slopes, exact, at once
    plain, slopes = _coefficients(spread, strip.width), _coefficients(a, strip.width).imag / TINY_MM
    joints = strip.at_joints(plain) @ turns
    first, last = joints[strip.first], joints[strip.last]
    holds, hands, load = slopes
    pulls = [load * turns - holds * one + hands * other for one, other in ((first, last), (last, first))]
    moved = strip.let_go(plain, pulls)
    left, right = strip.ratios(spread)
    felt = left[:, None] * moved[strip.before] + right[:, None] * moved[strip.beyond]
    left, right = (ratio.imag / TINY_MM for ratio in strip.ratios(a))
    before, beyond = (joints[at] - turns[strip.own] for at in (strip.before, strip.beyond))
    felt[np.arange(len(at_mm)), strip.own] += left * before + right * beyond
    return np.asarray(felt)


class _Strip:
    """Sectors end to end, and places along them. first, last : (n,) joint where each begins and ends; own :
    (r,) sector of each place; before, beyond : (r,) its joints."""

    def __init__(self, ends_mm: Array, closed: bool, at_mm: Array) -> None:
        count, self.width = len(ends_mm), ends_mm[:, 1] - ends_mm[:, 0]
        self.first = np.arange(count)
        self.last = (self.first + 1) % (count if closed else count + 1)
        self.own = np.clip(np.searchsorted(ends_mm[:, 1], at_mm), 0, count - 1)
        self.before, self.beyond = self.first[self.own], self.last[self.own]
        self._along = np.clip(at_mm - ends_mm[self.own, 0], 0.0, self.width[self.own])

    def ratios(self, spread: NDArray[Any]) -> tuple[Array, Array]:
        """(r,) each, of the turn of the joints before and beyond a place in its angle."""
        a, width = spread[self.own], self.width[self.own]
        left, right = (_sinh_ratio(part / a, width / a) for part in (width - self._along, self._along))
        return left, right

    def at_joints(self, coefficients: Array) -> Array:
        """(j, n) of every sector's turn at the joints."""
        return self.let_go(coefficients, [coefficients[2]] * 2)

    def let_go(self, coefficients: Array, pulls: list[Array]) -> Array:
        """(j, n) turn of the joints where each sector pulls at its first and its last with these (n,)."""
        holds, hands, _ = coefficients
        size = self.last.max() + 1
        stiff, load = np.zeros((size, size)), np.zeros((size, len(holds)))
        for here, other, pull in zip((self.first, self.last), (self.last, self.first), pulls, strict=True):
            np.add.at(stiff, (here, here), holds)
            np.add.at(stiff, (here, other), -hands)
            np.add.at(load, (here, self.first), pull)
        return np.asarray(np.linalg.solve(stiff, load))


def _coefficients(spread: NDArray[Any], width: Array) -> NDArray[Any]:
    """(3, n) how every sector holds a joint, hands its turn on to its other one and turns it itself: moments
    over the stiffness in twist."""
    far = width / spread
    hands = _sinh_ratio(np.zeros(len(width)), far, slope=True)
    return np.asarray([1.0 / np.tanh(far), hands, np.tanh(0.5 * far)] / spread)


def _sinh_ratio(part: Array, whole: Array, slope: bool = False) -> Array:
    """sinh(part)/sinh(whole), or its slope by part, where both may be large."""
    below = np.exp(-2.0 * part)
    return np.asarray(
        np.exp(part - whole) * (1.0 + below if slope else 1.0 - below) / -np.expm1(-2.0 * whole)
    )
