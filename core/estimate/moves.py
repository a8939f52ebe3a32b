"""What is done to a part between two rounds of gaps, as linear moves of the remaining work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief
from core.estimate.response import SIGN, ResponseModel, Stroking
from core.jobtypes import Job
from core.kinds.base import OtherEdge
from core.readings.rounds import (
    Annealed,
    Countered,
    HeightsRead,
    PassDone,
    RimRead,
    Round,
    Rounded,
    Smoothed,
    Step,
)
from core.strained import Strained

Array = NDArray[np.float64]
# Shares of a pass's work that a smoothing pass may do, sd (common practice, no source): at each site for
# itself, and alike all along, since a face that is not quite true presses the same way everywhere.
SMOOTHING, SMOOTHING_ALIKE = 0.1, 0.02
COUNTER_OWN_SD = 0.2  # share of the formula, from one counter-work to the next (as from pass to pass)


@dataclass(frozen=True)
class Move:
    """Linearised pass: x <- x + shift + slopes @ theta + noise of variance (n,), independent from site to
    site, + alike (n,) times one standard normal number, where there is such a part."""

    shift: Array
    slopes: Array
    variance: Array
    alike: Array | None = None

    def work(self, theta: Array) -> Array:
        """(n,) unsigned work that the pass does with these response parameters, linearly."""
        return np.asarray(np.abs(self.shift + self.slopes @ theta))

    def beside(self, count: int) -> Move:
        """The same where so many unknowns that it has nothing to do with stand before the response."""
        if not count:
            return self
        return replace(self, slopes=np.hstack([np.zeros((len(self.slopes), count)), self.slopes]))


@dataclass(frozen=True)
class Worn:
    """What the metal has undergone. strain : (n,) nominal strain of the worked edge since the last anneal,
    which hardens; beyond : (n,) the same of the other edge; edge : expected strain of the worked edge that
    the limits are held against; work, aside : (n,) that passes and counter-work have done, as expected,
    signed"""

    strain: Array
    beyond: Array
    edge: Strained
    work: Array
    aside: Array

    @classmethod
    def none(cls, n: int) -> Worn:
        """Stock as bought."""
        return cls(np.zeros(n), np.zeros(n), Strained.none(n), np.zeros(n), np.zeros(n))

    def annealed(self) -> Worn:
        """Once the metal is soft again."""
        softer = {"strain": np.zeros_like(self.strain), "beyond": np.zeros_like(self.beyond)}
        return replace(self, **softer, edge=self.edge.annealed())


def moved(job: Job, model: ResponseModel, step: Step, worn: Worn, theta: Array) -> tuple[Move | None, Worn]:
    """The move of a step that is no round of gaps, about assumed response parameters, and the metal after
    it; no move for an anneal. Of a step against lobes, its even part."""
    assert not isinstance(step, Round | RimRead | HeightsRead)
    if isinstance(step, Rounded):
        step = step.evenly(model.sites)
    if isinstance(step, Annealed):
        return None, worn.annealed()
    if isinstance(step, Smoothed):
        return smoothing_move(model, step, worn.strain, theta, job.smoother), worn
    more = model.strain(step.action, step.bite, step.strokes)
    if isinstance(step, Countered):
        edge = job.under[step.action].other_edge()
        assert edge is not None  # the log was held against the job
        countered = counter_move(model, edge, step, worn.beyond, theta)
        aside = worn.aside - countered.shift - countered.slopes @ theta
        return countered, replace(worn, beyond=worn.beyond + more, aside=aside)
    move = pass_move(model, step, worn.strain, theta)
    work = move.work(theta)
    strained = worn.edge.after(step.action, job.under[step.action].edge_strain(work))
    done = worn.work + SIGN[step.action] * work
    return move, replace(worn, strain=worn.strain + more, edge=strained, work=done)


def pass_move(model: ResponseModel, done: PassDone, strain: Array, theta: Array) -> Move:
    """The linearised effect of a pass about assumed response parameters."""
    stroking = Stroking(done.action, done.bite, done.strokes, strain)
    work, slopes, variance = model.work(stroking, theta)
    sign = SIGN[done.action]
    return Move(-sign * (work - slopes @ theta), -sign * slopes, variance)


def smoothing_move(model: ResponseModel, done: Smoothed, strain: Array, theta: Array, action: str) -> Move:
    """Work of either sign, by a share of what these strokes would do as a pass of this action; what it adds
    to the strain of the edge is left out."""
    work, slopes, _ = model.work(Stroking(action, done.bite, done.strokes, strain), theta)
    still, flat = np.zeros_like(work), np.zeros_like(slopes)
    return Move(still, flat, (SMOOTHING * work) ** 2, SMOOTHING_ALIKE * work)


def counter_move(model: ResponseModel, edge: OtherEdge, done: Countered, beyond: Array, theta: Array) -> Move:
    """The linearised effect of counter-work in the plane: the elastic formula of the strain that the strokes
    do, times a share that all counter-work of the job has in common, give or take one of its own.

    beyond : (n,) strain of the other edge before it
    """
    strain, slopes, variance = model.strain_beyond(
        Stroking(done.action, done.bite, done.strokes, beyond), theta
    )
    sign, share = SIGN[done.action], theta[model.share_at]
    formula = sign * (edge.work @ strain)
    by_theta = sign * share * (edge.work @ slopes)
    by_theta[:, model.share_at] += formula
    scatter = share**2 * (edge.work**2 @ variance)
    return Move(-(share * formula - by_theta @ theta), -by_theta, scatter, COUNTER_OWN_SD * formula)


def drift_move(belief: Belief, n: int, variance: Mapping[int, float]) -> Move:
    """Sites, by index, that moved by nobody knows how much, with this variance; all else stays."""
    spread = np.zeros(n)
    spread[list(variance)] = list(variance.values())
    return Move(np.zeros(n), np.zeros((n, len(belief.mean) - n)), spread)


def apply_move(belief: Belief, n: int, move: Move) -> Belief:
    """The belief after a move, before it is read."""
    mean, cov = belief.mean.copy(), belief.cov.copy()
    mean[:n] += move.shift + move.slopes @ belief.mean[n:]
    across = move.slopes @ belief.cov[n:, n:]
    half = move.slopes @ (belief.cov[n:, :n] + 0.5 * across.T)
    cov[:n, :n] += half + half.T
    cov[:n, n:] += across
    cov[n:, :n] += across.T
    if move.alike is not None:
        cov[:n, :n] += np.outer(move.alike, move.alike)
    diagonal = np.arange(n)
    cov[diagonal, diagonal] += move.variance
    return Belief(mean, cov)
