"""What turning a flange along a curved outline asks of its free edge, in closed form.

A line on the plate square to the outline stays a line, and its length h, as far as the blank goes beyond the
outline, stays while it turns by alpha about the outline (radius R). The free edge of the flat plate lies at
R + h on a convex edge, at R - h on a concave one or round a hole; once turned at R + h cos(alpha) and R - h
cos(alpha). With the curvature k > 0 on a convex edge, < 0 on a concave one, both are

    shortening = ln((1 + k h)/(1 + k h cos(alpha))),

> 0 where the edge gets shorter. At 90 degrees and round a hole that is -ln(1 + (Dh - D0)/D0), the ratio of
ISO 16630 taken between blank hole and flange. The bend is taken as sharp; the sheet does not thin along h.

Everything takes numbers or arrays that broadcast. curvature in 1/mm, height in mm, angles in rad from the
plate, 0 flat.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.errors import InputError

Array = NDArray[np.float64]
FLAT_RAD = np.radians(1.0)  # below, strain and angle are tied by their tangent there: it would be endless
OVER_RAD = np.radians(150.0)  # the same beyond: no flange of 90 degrees is turned so far


def edge_shortening(curvature_per_mm: ArrayLike, height_mm: ArrayLike, angle_rad: ArrayLike) -> Array:
    """(...) natural strain of the free edge of a flange turned by this angle, > 0 where it got shorter."""
    reach = _reach(curvature_per_mm, height_mm)
    return np.asarray(np.log1p(reach) - np.log1p(reach * np.cos(angle_rad)))


def shortening_slope(curvature_per_mm: ArrayLike, height_mm: ArrayLike, angle_rad: ArrayLike) -> Array:
    """(...) shortening per rad of a further turn: nothing where the plate is flat, most near 90 degrees."""
    reach = _reach(curvature_per_mm, height_mm)
    return np.asarray(reach * np.sin(angle_rad) / (1.0 + reach * np.cos(angle_rad)))


def angle_of_shortening(curvature_per_mm: ArrayLike, height_mm: ArrayLike, shortening: ArrayLike) -> Array:
    """(...) angle at which the free edge has this strain; radius, not endless, of at least the height.

    Near the flat plate and far beyond 90 degrees the tangent goes on, so that any strain has an angle.
    """
    reach = _reach(curvature_per_mm, height_mm)
    low, high = (_tangent(curvature_per_mm, height_mm, end) for end in (FLAT_RAD, OVER_RAD))
    given = np.asarray(shortening, dtype=float)
    held = np.clip(given, np.minimum(low[0], high[0]), np.maximum(low[0], high[0]))
    cosine = ((1.0 + reach) * np.exp(-held) - 1.0) / reach
    within = np.arccos(np.clip(cosine, np.cos(OVER_RAD), np.cos(FLAT_RAD)))
    below = np.minimum((given - low[0]) / low[1], 0.0)
    above = np.maximum((given - high[0]) / high[1], 0.0)
    return np.asarray(within + below + above)


def slope_within(curvature_per_mm: ArrayLike, height_mm: ArrayLike, angle_rad: ArrayLike) -> Array:
    """(...) :func:`shortening_slope`, the tangent's where :func:`angle_of_shortening` follows that."""
    return shortening_slope(curvature_per_mm, height_mm, np.clip(angle_rad, FLAT_RAD, OVER_RAD))


def highest_flange_mm(curvature_per_mm: ArrayLike, angle_rad: ArrayLike, strain: ArrayLike) -> Array:
    """(...) height at which the free edge comes to this strain (> 0, an amount); inf where none does.

    At 90 degrees R (exp(strain) - 1) on a convex edge and R (1 - exp(-strain)) round a hole.
    """
    bend = np.asarray(curvature_per_mm, dtype=float)
    signed, grown = np.cos(angle_rad), np.expm1(strain)
    # Of (1 + k h) = exp(s) (1 + k h cos a) for k > 0, and of the inverse for k < 0.
    over = np.where(bend > 0.0, 1.0 - signed * (1.0 + grown), 1.0 + grown - signed)
    with np.errstate(divide="ignore"):
        height = grown / (np.abs(bend) * np.maximum(over, 0.0))
    return np.asarray(height)


def even_steps_rad(
    curvature_per_mm: float, height_mm: float, start_rad: float, angle_rad: float, strain: float
) -> Array:
    """(p,) angles after each of the fewest passes that strain the edge alike and by at most ``strain``.

    A straight edge, which is not strained, is turned in one. Raises InputError for a strain that is not > 0
    and for an angle that is not beyond the start.
    """
    if not strain > 0.0:
        raise InputError("strain", strain, "a strain above 0 is wanted")
    if not 0.0 <= start_rad < angle_rad:
        raise InputError("angle", angle_rad, f"more than the start, {start_rad:g} rad, is wanted")
    first, last = edge_shortening(curvature_per_mm, height_mm, np.array([start_rad, angle_rad]))
    count = max(1, int(np.ceil(abs(last - first) / strain - 1e-9)))
    if first == last:
        return np.array([angle_rad])
    asked = first + (last - first) * np.arange(1, count) / count
    return np.append(angle_of_shortening(curvature_per_mm, height_mm, asked), angle_rad)


def _tangent(curvature_per_mm: ArrayLike, height_mm: ArrayLike, at_rad: float) -> tuple[Array, Array]:
    return (
        edge_shortening(curvature_per_mm, height_mm, at_rad),
        shortening_slope(curvature_per_mm, height_mm, at_rad),
    )


def _reach(curvature_per_mm: ArrayLike, height_mm: ArrayLike) -> Array:
    """(...) height over radius, signed. Raises InputError where a hole would have nothing left."""
    height = np.asarray(height_mm, dtype=float)
    reach = np.asarray(np.asarray(curvature_per_mm, dtype=float) * height)
    if not (np.all(height > 0.0) and np.all(reach > -1.0)):
        raise InputError(
            "height", height_mm, "more than 0 and less than the radius of every hollow is wanted"
        )
    return reach
