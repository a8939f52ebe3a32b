"""Numbers as the formulas take them: finite, within the range where the formula means something."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.errors import InputError

Array = NDArray[np.float64]
MOST_STRAIN = 4.6  # ln 100: no metal is strained by that


def positive(field: str, values: ArrayLike, unit: str = "") -> Array:
    """(...) finite numbers greater than 0. Raises InputError."""
    wanted = f"numbers{unit and f' in {unit}'} greater than 0 are wanted"
    numbers = _finite(field, values, wanted)
    if not (numbers > 0.0).all():
        raise InputError(field, values, wanted)
    return numbers


def between(field: str, values: ArrayLike, least: float, most: float = math.inf, unit: str = "") -> Array:
    """(...) finite numbers from ``least`` to ``most``, both included. Raises InputError."""
    span = f"of {least:g} or more" if math.isinf(most) else f"from {least:g} to {most:g}"
    wanted = f"numbers {span}{unit and f' {unit}'} are wanted"
    numbers = _finite(field, values, wanted)
    if not ((numbers >= least) & (numbers <= most)).all():
        raise InputError(field, values, wanted)
    return numbers


def natural(field: str, values: ArrayLike) -> Array:
    """(...) natural strains of either sign. Raises InputError, as for lengths that grow a hundredfold."""
    return between(field, values, -MOST_STRAIN, MOST_STRAIN)


def _finite(field: str, values: ArrayLike, wanted: str) -> Array:
    try:
        numbers = np.asarray(values, dtype=float)
    except (TypeError, ValueError) as error:
        raise InputError(field, values, wanted) from error
    if not np.isfinite(numbers).all():
        raise InputError(field, values, wanted)
    return numbers
