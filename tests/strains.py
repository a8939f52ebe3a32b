"""Edge strain that a pass is expected to do, written out by hand from the response model's own figures."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

import core

Array = NDArray[np.float64]


def nominal(job: core.Job, planned: core.Pass) -> Array:
    """(n,) strain by the first guess: strain of a stroke * strength * m**p of m strokes * patch / zone."""
    one = job.tool.strain_per_stroke * job.tool.bites[planned.bite] * job.tool.patch_length_mm
    return planned.strokes.astype(float) ** job.response.exponent * one / job.part.sites.width_mm


def expected(job: core.Job, planned: core.Pass, hardened: Array) -> Array:
    """(n,) before anything was read: worked neighbours take some of the nominal strain, hardening the rest.

    hardened : (n,) nominal strain since the last anneal, before the pass.
    """
    prior, m = job.response, planned.strokes.astype(float)
    struck = np.concatenate([[0.0], m > 0, [0.0]])
    beside = 0.5 * (struck[:-2] + struck[2:])
    strength = job.tool.bites[planned.bite] ** prior.bite_exponent
    load = hardened + 0.5 * nominal(job, planned)
    less = np.exp(-prior.neighbours * beside - prior.hardening * load)
    return of_the_edge(job, nominal(job, planned) * strength * less)


def of_the_edge(job: core.Job, patches: Array) -> Array:
    """(n,) strain of the bar's edge, as it is counted, for strain of the patches averaged over each zone:
    the kink that they make, times what a little more kink strains an edge that is (R - h)/R of its heel."""
    part, zone = job.part, job.part.sites.width_mm
    kinks = patches / part.covered() * part.effect.kink_per_strain_rad
    closed = np.maximum(part.target / zone, 0.0)
    lever = part.effect.heel_mm + part.section.flange_mm / (1.0 - part.section.flange_mm * closed)
    return kinks / zone * lever
