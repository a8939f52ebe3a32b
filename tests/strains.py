"""Edge strain that a pass is expected to do, written out by hand from the response model's own figures."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

import core

Array = NDArray[np.float64]


def nominal(job: core.Job, planned: core.Pass) -> Array:
    """(n,) strain by the first guess: strain of a stroke * strength * strokes * patch / zone."""
    one = job.tool.strain_per_stroke * job.tool.bites[planned.bite] * job.tool.patch_length_mm
    return planned.strokes * one / job.part.sites.width_mm


def expected(job: core.Job, planned: core.Pass, hardened: Array) -> Array:
    """(n,) before anything was read: m strokes do m**p, worked neighbours take some, hardening the rest.

    hardened : (n,) nominal strain since the last anneal, before the pass.
    """
    prior, m = job.response, planned.strokes.astype(float)
    struck = np.concatenate([[0.0], m > 0, [0.0]])
    beside = 0.5 * (struck[:-2] + struck[2:])
    strength = job.tool.bites[planned.bite] ** prior.bite_exponent
    load = hardened + 0.5 * nominal(job, planned)
    many = np.where(m > 0, np.maximum(m, 1.0) ** (prior.exponent - 1.0), 0.0)
    less = np.exp(-prior.neighbours * beside - prior.hardening * load)
    return nominal(job, planned) * strength * many * less
