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

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


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
    angle_rad: float,
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
    count, width = len(ends_mm), ends_mm[:, 1] - ends_mm[:, 0]
    own = np.clip(np.searchsorted(ends_mm[:, 1], at_mm), 0, count - 1)
    joints = _at_joints(width, spread, closed)
    along = np.clip(at_mm - ends_mm[own, 0], 0.0, width[own])
    left, right = (
        _sinh_ratio(part / spread[own], width[own] / spread[own]) for part in (width[own] - along, along)
    )
    felt = left[:, None] * joints[own] + right[:, None] * joints[(own + 1) % len(joints)]
    felt[np.arange(len(at_mm)), own] += 1.0 - left - right
    return np.asarray(felt)


def _at_joints(width: Array, spread: Array, closed: bool) -> Array:
    """(n, n) of every sector's turn where each begins, and (1, n) where the last ends, unless closed: forces
    of strips that are each held by a stiffness of their own."""
    count = len(width)
    first = np.arange(count)
    last = (first + 1) % (count if closed else count + 1)
    far = width / spread
    holds, hands = 1.0 / (spread * np.tanh(far)), _sinh_ratio(np.zeros(count), far, slope=True) / spread
    stiff = np.zeros((last.max() + 1, last.max() + 1))
    load = np.zeros((len(stiff), count))
    for here, other in ((first, last), (last, first)):
        np.add.at(stiff, (here, here), holds)
        np.add.at(stiff, (here, other), -hands)
        np.add.at(load, (here, first), np.tanh(0.5 * far) / spread)
    return np.asarray(np.linalg.solve(stiff, load))


def _sinh_ratio(part: Array, whole: Array, slope: bool = False) -> Array:
    """sinh(part)/sinh(whole), or its slope by part, where both may be large."""
    below = np.exp(-2.0 * part)
    return np.asarray(
        np.exp(part - whole) * (1.0 + below if slope else 1.0 - below) / -np.expm1(-2.0 * whole)
    )
