"""The refit: from the log of a part to what is believed of its shape and of the response.

Unknowns are the remaining work at every site (moved by each pass) and the response parameters (fixed).
The relations are linear once the response and the geometry are taken about an assumed value; the
assumed value is improved until it stops moving (iterated update). Within one iteration the answer
is exact: it equals the batch least-squares solution of ``Fit.linear``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.estimate.apart import with_differences
from core.estimate.around import about, beyond, linear_reading
from core.estimate.asides import ENOUGH, NONE, SUSPECT_SCORE, Asides, SetAside, all_else_says, hardly_beyond
from core.estimate.gaussian import Belief, disagreement
from core.estimate.lobesize import lobe_size
from core.estimate.memory import Adrift, Memory
from core.estimate.moves import Move, Worn, apply_move, drift_move, moved
from core.estimate.nonsense import contradiction, refuse_nonsense
from core.estimate.oneshape import about_the_last
from core.estimate.repeated import stands
from core.estimate.response import ResponseModel, Stroking
from core.estimate.roundfit import RoundFit, begin
from core.estimate.seated import Reading, read_seated
from core.estimate.shared_error import alone_mm, sharing
from core.estimate.standing import as_cut
from core.estimate.strained import as_read
from core.estimate.uneven import Uneven
from core.jobtypes import Job
from core.kinds.base import Part
from core.readings.rounds import Countered, HeightsRead, RimRead, Round, Rounded, Step
from core.strained import Strained

Array = NDArray[np.float64]
MOST_ITERATIONS = 20
LONGEST_STEP = 1.5  # prior standard deviations that the response may be moved at once
SETTLED = 1e-3  # prior standard deviations that a parameter may still move
GEOMETRY_SETTLED_MM = 0.02  # movement below which slopes are not taken anew
AGAIN_MM = 0.3  # the same of rounds of one shape against the last of them
ALIKE_MM = 3.0  # the same for a further round of a shape whose slopes are at hand, for as long
UNSURE = 0.05  # share of a reading's standard deviation that geometry may be off, where that is more
GEOMETRY_NEAR = 5e-3  # share of the length; slopes anew after a smaller movement wait for an iteration due
FAR = 1.0  # prior standard deviations that a parameter moved: more iterations are due
MOST_LOOKS = 6  # times that one round is read anew in one iteration


@dataclass(frozen=True)
class Fit:
    """belief : over [x, theta]; worn : what the metal has undergone;
    rounds : by index of the step; linear : the linearised problem; converged : iteration settled;
    lobed : over [x, lobes, share of what even work does that a step against each does, theta]; part : as its
    passes have left it
    """

    belief: Belief
    model: ResponseModel
    worn: Worn
    rounds: dict[int, RoundFit]
    linear: list[Move | Reading]
    beliefs: list[Belief]
    converged: bool
    lobed: Belief
    part: Part

    @property
    def strain(self) -> Array:
        """(n,) nominal strain of the worked edge since the last anneal, which hardens."""
        return self.worn.strain

    @property
    def edge(self) -> Strained:
        """Expected strain that the limits are held against."""
        return self.worn.edge

    @property
    def sites(self) -> int:
        """Number of sites."""
        return self.model.sites

    def strains(self, job: Job, stroking: Stroking) -> tuple[Array, Array]:
        """(n,) edge strain that is expected of a pass, and the standard deviation (n,) of its log."""
        n = self.sites
        work = self.model.work(stroking, self.belief.mean[n:])[0]
        return job.under[stroking.action].edge_strain(work), self.model.log_sd(
            stroking, self.belief.cov[n:, n:]
        )


def fit(
    job: Job, steps: list[Step], aside: Asides = NONE, adrift: Adrift | None = None, near: Fit | None = None
) -> Fit:
    """Refit the whole log. Pure. aside, adrift : by round, readings set aside, sites moved, beforehand;
    near : the refit of the first of these steps, to begin from."""
    job = as_cut(job)
    model = ResponseModel(job, any(isinstance(step, Countered) for step in steps))
    alone, steps = alone_mm(job, steps), sharing(job, steps)
    memory = Memory(model.mean.copy(), alone, lobe_size(job, steps, model))
    if near is not None:
        begin(memory, job, steps, near.belief.mean[near.sites :], near.rounds)
    memory.set_aside.update({k: dict(found) for k, found in aside.items()})
    memory.adrift.update({k: dict(found) for k, found in (adrift or {}).items()})
    for k, step in enumerate(steps):
        if isinstance(step, Round):
            over = np.flatnonzero(step.beyond).tolist()
            memory.held[k] = {i for i in over if stands(job, steps, k, i)}
    result = _screened(job, steps, model, memory)
    if _taken_back(job, steps, result, memory, aside):
        result = _screened(job, steps, model, memory)
    refuse_nonsense(model, result.belief.mean[model.sites :])  # where it did not settle, too
    return result


def _screened(job: Job, steps: list[Step], model: ResponseModel, memory: Memory) -> Fit:
    """Settled, one reading of each round after another set aside until no more disagree."""
    result = _settle(job, steps, model, memory)
    for _ in range(len(job.part.sites)):
        if not _screen(job, steps, result, memory):
            break
        result = _settle(job, steps, model, memory)
    return result


def prior(job: Job, model: ResponseModel) -> Belief:
    """Belief before anything was done: untouched stock, the response as first believed."""
    stock = Belief(job.part.target, np.diag(job.part.stock_sd**2))
    return stock.widened(model.mean, model.cov)


def _settle(job: Job, steps: list[Step], model: ResponseModel, memory: Memory) -> Fit:
    """Iterate until what the next iteration would move, going by the trend of the last two, is nothing."""
    converged, before = False, 0.0
    spread = np.where(model.sd > 0.0, model.sd, np.inf)  # what is known for certain does not move
    result = _exact(job, steps, model, memory)
    for _ in range(MOST_ITERATIONS):
        change = result.belief.mean[model.sites :] - memory.theta
        moved = float(np.max(np.abs(change) / spread))
        memory.theta = memory.theta + change * min(1.0, LONGEST_STEP / max(moved, 1e-12))
        if not memory.waiting and moved * min(1.0, moved / max(before, 1e-12)) < SETTLED:
            converged = True
            break
        before, memory.rough = moved, moved > FAR
        refuse_nonsense(model, memory.theta)
        result = _exact(job, steps, model, memory)
    return Fit(**{**result.__dict__, "converged": converged})


def _exact(job: Job, steps: list[Step], model: ResponseModel, memory: Memory) -> Fit:
    """One iteration; work so large that arithmetic fails is as good a sign of a contradiction as any."""
    try:
        return _once(job, steps, model, memory)
    except np.linalg.LinAlgError as error:
        raise contradiction() from error


def _once(job: Job, steps: list[Step], model: ResponseModel, memory: Memory) -> Fit:
    """One exact pass of the filter through the log, about the assumed values in memory."""
    n, uneven = model.sites, Uneven(job, model.sites, memory.large)
    belief = uneven.started(prior(job, model))
    memory.waiting, worn = False, Worn.none(n)
    rounds: dict[int, RoundFit] = {}
    linear: list[Move | Reading] = []
    beliefs, after = [], dict[int, Belief]()
    before: Round | None = None  # the round just before, of the same shape
    for k, step in enumerate(steps):
        if isinstance(step, Round):
            if k in memory.adrift:
                drift = drift_move(belief, n, memory.adrift[k])
                linear.append(drift)
                belief = apply_move(belief, n, drift)
            alike = before is not None and before.template == step.template and k not in memory.adrift
            rounds[k], reading = _read_round(uneven, step, belief, memory, k, alike)
            belief, more = with_differences(uneven, steps, k, memory, rounds[k].after)
            rounds[k], before = replace(rounds[k], after=belief), step
            after[k] = belief
            linear += [reading, *more]
        elif isinstance(step, RimRead | HeightsRead):
            belief, reading = (
                uneven.rim_read(belief, step)
                if isinstance(step, RimRead)
                else uneven.heights_read(belief, step)
            )
            before = None
            linear.append(reading)
            after[k] = belief
        else:
            uneven = uneven.on(memory.struck.at(k, uneven.job, belief.mean[:n]))
            move, worn = moved(job, model, step, worn, memory.theta)
            if move is not None:
                belief = apply_move(belief, n, move.beside(uneven.size))
                linear.append(move)
                if isinstance(step, Rounded):
                    belief = uneven.stepped(belief, step)
                else:
                    belief = uneven.worked(belief, move.work(memory.theta))
            before = None
        beliefs.append(uneven.without(belief))
    anew = about_the_last(uneven, steps, after, memory, AGAIN_MM)
    memory.geometry.update(anew)
    memory.settled.update(anew)
    memory.waiting = memory.waiting or bool(anew)
    told = uneven.without(belief)
    edge = as_read(job, model, worn, told)
    return Fit(told, model, edge, rounds, linear, beliefs, False, belief, uneven.job.part)


def _read_round(
    uneven: Uneven, step: Round, belief: Belief, memory: Memory, k: int, alike: bool
) -> tuple[RoundFit, Reading]:
    """Condition on one round; where that moves the bar its geometry is taken anew.

    After a small movement it is read again in the next iteration if one is due anyway, else at once.
    alike : the step before is a round of the same shape and template: its geometry does as well
    """
    job, n, beside = uneven.job, uneven.sites, uneven.rows(step)
    size, seat_sd = len(belief.mean), job.part.seat_sd
    if alike and k not in memory.settled:
        memory.geometry[k] = memory.geometry[k - 1]
    elif k not in memory.geometry:
        memory.geometry[k] = about(job, step, belief.mean[:n], np.zeros(len(seat_sd)))
    elif memory.on[k] is not job.part:
        memory.geometry[k] = about(job, step, *memory.geometry[k][1:])
    memory.on[k] = job.part
    still = np.maximum(ALIKE_MM if alike else GEOMETRY_SETTLED_MM, UNSURE * step.sd_mm)
    aside, held, hardly = memory.set_aside.get(k, {}), memory.held.get(k, ()), SetAside()
    for _ in range(MOST_LOOKS):
        lin, x_was, seat_was = memory.geometry[k]
        reading = linear_reading(step, memory.geometry[k], set(aside), beside)
        update = read_seated(belief, reading, seat_sd)
        hardly = hardly_beyond(step, memory.geometry[k], update.belief, beside, {*aside, *held})
        after = beyond(step, memory.geometry[k], update.belief, beside, {*aside, *hardly})
        x, seat = after.mean[:n], after.mean[size:]
        moved = np.abs(lin.influence @ (x - x_was) + lin.seating @ (seat - seat_was))
        if np.all(moved < still) or k in memory.settled:
            break
        memory.geometry[k] = about(job, step, x, seat)
        if memory.rough and np.max(moved) < GEOMETRY_NEAR * job.part.length_mm:
            memory.waiting = True
            break
    lobes = after.mean[n : n + uneven.lobes]
    said = dict(aside), hardly, after.first(size), lobes, job.part
    return RoundFit(seat, update, reading.stations, *said), reading


def _screen(job: Job, steps: list[Step], result: Fit, memory: Memory) -> bool:
    """Set aside the worst reading of each round that disagrees with all else; where the template has no play,
    one that stands says that its site moved as no stroke explains."""
    found = False
    for k, fitted in result.rounds.items():
        step = steps[k]
        assert isinstance(step, Round)
        if fitted.hardly:
            memory.set_aside.setdefault(k, {}).update(fitted.hardly)
            found = True
        if len(fitted.stations) < ENOUGH:
            continue
        score, residual, sd = disagreement(fitted.update)
        if np.abs(score).max() <= SUSPECT_SCORE:
            continue
        standing = np.array([stands(job, steps, k, int(i)) for i in fitted.stations])
        if not len(job.part.seat_sd):
            found = _adrift(fitted, memory, k, standing & (np.abs(score) > SUSPECT_SCORE), residual) or found
        worst = int(np.argmax(np.where(standing, 0.0, np.abs(score))))
        if not standing[worst] and abs(score[worst]) > SUSPECT_SCORE:
            station = int(fitted.stations[worst])
            expected = float(step.gaps_mm[station] - residual[worst])
            memory.set_aside.setdefault(k, {})[station] = (expected, float(sd[worst]), float(score[worst]))
            found = True
    return found


def _taken_back(
    job: Job, steps: list[Step], result: Fit, memory: Memory, given: Mapping[int, SetAside]
) -> bool:
    """Take back in what agrees after all, now that others are left out: a bad reading of one round also puts
    those in doubt that read the same place right in another."""
    found = False
    for k, aside in memory.set_aside.items():
        step, own = steps[k], {i: said for i, said in aside.items() if i not in given.get(k, {})}
        if not own or not isinstance(step, Round):
            continue
        told = all_else_says(job, step, result.rounds[k].update.belief, own)
        fits = [i for i, (_, _, score) in told.items() if abs(score) <= SUSPECT_SCORE]
        for i in fits:
            del aside[i]
        found = found or bool(fits)
    return found


def _adrift(fitted: RoundFit, memory: Memory, k: int, which: NDArray[np.bool_], residual: Array) -> bool:
    """Take it that the sites of these readings moved by as much as disagrees; whether that is news."""
    known, slopes = memory.adrift.setdefault(k, {}), memory.geometry[k][0].influence
    news = {int(i): r for i, r in zip(fitted.stations[which], residual[which], strict=True)}
    news = {i: float(r / slopes[i, i]) ** 2 for i, r in news.items() if i not in known}
    known.update(news)
    return bool(news)
