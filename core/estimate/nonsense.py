"""Responses that no metal has."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.estimate.response import ResponseModel

IMPOSSIBLE = 12.0  # prior standard deviations from what was believed


def refuse_nonsense(model: ResponseModel, theta: NDArray[np.float64]) -> None:
    """A response that no metal has means that the log contradicts itself. Raises InputError."""
    if np.max(np.abs(theta - model.mean) / np.where(model.sd > 0.0, model.sd, np.inf)) > IMPOSSIBLE:
        raise contradiction()


def contradiction() -> InputError:
    """What is said of such a log."""
    return InputError(
        "events",
        "gaps that these strokes cannot have left",
        "check the side of the template, the unit of the readings, and the action, bite and strokes "
        "of each pass",
    )
