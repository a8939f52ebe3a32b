"""Looking ahead: what would be believed after a pass, and after reading the gaps that follow it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, read
from core.estimate.moves import apply_move, pass_move
from core.estimate.response import SIGN, ResponseModel, Stroking
from core.estimate.strained import with_unsure
from core.jobtypes import Job
from core.kinds.base import FoldedByTool, Part
from core.limits import Hardened
from core.plan.room import exponent_of, most_strokes
from core.readings.offering import layout_of
from core.readings.reading import readings_of
from core.readings.rounds import PassDone
from core.readings.seating import FAINT_MM, rigid_free
from core.strained import Strained

Array = NDArray[np.float64]
DRAWS = 64
ROUNDING = 0.3  # share of the variance of plain rounding that exchanging strokes leaves
TOLD, CLEARLY = 0.03, 0.1  # of what the easiest shape of work does to readings, that one which is told does
FOR_GOOD = 0.005  # risk of overshoot that is accepted at most where no tool does the other action
APART = 0.45  # of the sites: a bar's readings tell a quarter clearly, a dish's half or more, a flange's all
SILENT = 0.03  # a site that moves no reading by more than this share of the most is not felt by any


class Goal:
    """The finished shape, linearised: what remaining work does to the readings there.

    about : (n,) work left where the slopes are taken, None for none;
    offset : (r,) what is left when no work is left: kinks are not quite a smooth curve;
    rows : (r, n) mm of reading per unit of work; columns : (r, k) per rigid motion; readings are those
    that count for the widest gap, and at last the two ends of the part, so that those are worked too;
    counted : how many of them count; along : (r,) their order along the part;
    silent : (n,) sites that no reading feels, such as the last one at each end under a sweep;
    felt, felt_rows : (r, n) free and rows without the sites that are not felt;
    told : shapes of work that readings tell apart; apart : whether they tell most sites by themselves, so
    that what is overdone at one is not mended at its neighbours;
    leader : (n,) the nearest site that is felt, itself for most;
    read : how many of the readings, the first ones, are at stations; bites : that each action may use, none
    for one that the tool does not do; risk : of overshoot accepted for a pass, by its action;
    strain_per_work : by action, (n,) of the edge, per unit of work;
    most_work : (n,) of a pass, as expected: what it is to fold at most where the tool folds, inf elsewhere;
    loose : (k,) rigid motions that marks do not hold; free : (r, n) rows with rigid motion taken out
    """

    def __init__(self, job: Job, about: Array | None = None) -> None:
        n = len(job.part.sites)
        about = np.zeros(n) if about is None else about
        self.job = job
        layout = layout_of(job.part, job.template)
        ends = job.template.layout(np.array([0.0, job.part.length_mm]), job.part.length_mm)
        inside = layout.points_mm[layout.readable]
        places = np.concatenate([inside, ends.points_mm[ends.readable]])
        self.counted, self.along = len(inside), np.argsort(places)
        seat = np.zeros(len(job.part.seat_sd))
        here = readings_of(job.part, job.template, about, seat, places)
        self.offset, self.rows, self.columns = here.deviation_mm, here.influence, here.seating
        self.offset = self.offset - self.rows @ about
        self.read = int(layout.readable[:n].sum())
        self.loose = ~np.isfinite(job.part.seat_bound) & (np.abs(self.columns).max(axis=0) > FAINT_MM)
        still = rigid_free(self.columns[:, self.loose])
        self.free, self.free_offset = still @ self.rows, still @ self.offset
        heard = np.abs(self.free).max(axis=0)
        self.silent = heard < SILENT * heard.max(initial=0.0)
        felt = np.flatnonzero(~self.silent)
        self.leader = felt[np.abs(np.arange(n)[:, None] - felt).argmin(axis=1)]
        self.felt, self.felt_rows = self.free * ~self.silent, self.rows * ~self.silent
        told = np.linalg.svd(self.felt, compute_uv=False)
        self.told = int((told > TOLD * told.max(initial=0.0)).sum())
        self.apart = int((told > CLEARLY * told.max(initial=0.0)).sum()) >= APART * n
        self.strain_per_work = {action: job.under[action].edge_strain(np.ones(n)) for action in SIGN}
        self.most_work = _foldable(job.part)
        self.bites = {action: job.bites(action) for action in SIGN}
        self.risk = {a: self._accepted(other) for a, other in zip(SIGN, [*SIGN][::-1], strict=True)}
        self.reading_variance = job.gauge.sd_mm(job.template.sd_mm) ** 2
        plain = job.part.linearise(about)
        self._plain = replace(plain, deviation_mm=plain.deviation_mm - plain.influence @ about)
        self._still = rigid_free(self._plain.seating[:, ~np.isfinite(job.part.seat_bound)])

    def _accepted(self, other: str) -> float:
        risk = self.job.overshoot_risk
        return risk if self.bites[other] else min(risk, FOR_GOOD)

    def readings(self, work: Array) -> Array:
        """(r,) readings that this remaining work leaves, rigid motion taken out."""
        return np.asarray(self.free_offset + self.free @ work)

    def widest(self, readings: Array) -> Array:
        """(s,) widest gap of readings (s, r) with rigid motion taken out: near the best seating, never below
        it."""
        if self.job.template.rigid:
            return np.asarray(np.ptp(readings, axis=1))
        return np.asarray(np.abs(readings).max(axis=1))

    def deviation(self, work: Array) -> Array:
        """(n,) deviation at every site that this remaining work leaves, rigid motion taken out, linearly."""
        return np.asarray(self._still @ (self._plain.deviation_mm + self._plain.influence @ work))


def _foldable(part: Part) -> Array:
    folds = part.sites.folds
    most = part.fold_per_pass_rad if isinstance(part, FoldedByTool) else np.inf
    return np.full(len(part.sites), np.inf) if folds is None else np.where(folds != 0.0, most, np.inf)


@cache
def _unit(size: int) -> Array:
    """(DRAWS, size) standard normal draws in opposite pairs, the same every time."""
    half = np.random.default_rng(size).standard_normal((DRAWS // 2, size))
    return np.vstack([half, -half])


def _triangle(cov: Array) -> Array:
    """(k, k) lower triangular square root; that of the first unknowns is the first part of that of all."""
    padded, diagonal = cov.copy(), np.arange(len(cov))
    padded[diagonal, diagonal] += 1e-12 * cov[diagonal, diagonal] + 1e-30
    return np.asarray(np.linalg.cholesky(padded))


def middle_bite(job: Job, action: str) -> str:
    """The bite of this action whose strength lies nearest 1."""
    bites = job.tools[action].bites
    return min(bites, key=lambda b: abs(bites[b] - 1.0))


@dataclass(frozen=True)
class Outlook:
    """Belief over [x, theta] at some moment, real or imagined.

    strain : (n,) nominal edge strain since the last anneal, which hardens; edge : expected strain that the
    limits are held against; fresh : why an anneal, not logged yet, has to come first, None where none has to
    """

    goal: Goal
    model: ResponseModel
    belief: Belief
    strain: Array
    edge: Strained
    fresh: Hardened | None = None

    @cached_property
    def work(self) -> Array:
        """(n,) remaining work expected."""
        return self.belief.mean[: self.model.sites]

    @property
    def theta(self) -> Array:
        """(k,) response parameters expected."""
        return self.belief.mean[self.model.sites :]

    @property
    def exponent(self) -> float:
        """Of the work of many strokes on a spot, as expected."""
        return exponent_of(self.theta)

    @cached_property
    def _remembered(self) -> dict[tuple[str, str, str], Array]:
        """What was asked of this outlook before: every way that is tried asks it again."""
        return {}

    def per_stroke(self, action: str, bite: str) -> Array:
        """(n,) unsigned work expected of a single stroke at each site."""
        return self._once("per stroke", action, bite, self._per_stroke)

    def most_strokes(self, action: str, bite: str) -> Array:
        """(n,) most whole strokes that the limits of strain allow at each site in one pass, with the stated
        risk of going beyond them; every site by itself, beside such neighbours as are surely struck."""
        return self._once("most", action, bite, partial(most_strokes, self))

    def _once(self, what: str, action: str, bite: str, find: Callable[[str, str], Array]) -> Array:
        key = (what, action, bite)
        if key not in self._remembered:
            self._remembered[key] = find(action, bite)
            self._remembered[key].setflags(write=False)
        return self._remembered[key]

    def _per_stroke(self, action: str, bite: str) -> Array:
        one = np.ones(self.model.sites)
        return self.model.work(Stroking(action, bite, one, self.strain), self.theta)[0]

    def law(self, action: str, bite: str, about: Array) -> Callable[[Array], Array]:
        """Expected unsigned work (..., n) as a function of the counts (..., n), which need not be whole.

        about : (n,) counts near which it is used: what the neighbours of a site get.
        """
        exponent, hardening, usual = self.exponent, self.theta[-1], self.model.usual_exponent
        one = self._once("one", action, bite, self._one)
        alone = self._once("alone", action, bite, self._alone)
        first = alone * np.exp(-self.theta[-3] * self.model.neighbours_struck(about))

        def work(strokes: Array) -> Array:
            done: Array = first * strokes**exponent * np.exp(-0.5 * hardening * one * strokes**usual)
            return done

        return work

    def _one(self, action: str, bite: str) -> Array:
        return self.model.strain(action, bite, np.ones(self.model.sites))

    def _alone(self, action: str, bite: str) -> Array:
        """(n,) work of a first stroke, before it hardens its site and where no neighbour is struck."""
        features = self.model.features(Stroking(action, bite, np.zeros(self.model.sites), self.strain))
        return np.asarray(self.model.guess(action, bite) * np.exp(features @ self.theta))

    def log_spread(self, action: str, bite: str, strokes: Array) -> Array:
        """(n, k) square root (by columns) of the covariance of the log work of this many strokes."""
        features = self.model.features(Stroking(action, bite, strokes, self.strain))
        return np.asarray(features @ self._root)

    @cached_property
    def _root(self) -> Array:
        """(k, k) square root (by columns) of the covariance of the parameters."""
        n = self.model.sites
        values, vectors = np.linalg.eigh(self.belief.cov[n:, n:])
        return np.asarray(vectors * np.sqrt(values.clip(0.0)))

    @cached_property
    def _draws(self) -> Array:
        """(DRAWS, n + k) what may be true now, as differences from what is expected."""
        return np.asarray(_unit(len(self.belief.mean)) @ _triangle(self.belief.cov).T)

    @cached_property
    def draws_now(self) -> Array:
        """(DRAWS, n) remaining work that may be true now, draw by draw as in :meth:`draws_after`."""
        n, unit = self.model.sites, _unit(len(self.belief.mean))
        return np.asarray(self.work + unit[:, :n] @ _triangle(self.belief.cov[:n, :n]).T)

    @cached_property
    def widest_now(self) -> Array:
        """(DRAWS,) widest gaps that may be found, mm."""
        goal, counted = self.goal, slice(self.goal.counted)
        return goal.widest(goal.free_offset[counted] + self.draws_now @ goal.free[counted].T)

    def draws_after(self, action: str, bite: str, strokes: Array) -> Array:
        """(DRAWS, n) remaining work that may be found after this pass, its scatter included."""
        n = self.model.sites
        stroking = Stroking(action, bite, strokes, self.strain)
        work, _, variance = self.model.work(stroking, self.theta)
        spread = np.exp(self._draws[:, n:] @ self.model.features(stroking).T)
        scatter = _unit(n)[::-1] * np.sqrt(variance)
        drawn: Array = self.draws_now - SIGN[action] * (work * spread + scatter)
        return drawn

    def after(self, action: str, bite: str, strokes: Array) -> Outlook:
        """Belief after this pass, before it is read."""
        move = pass_move(self.model, PassDone(action, bite, strokes), self.strain, self.theta)
        belief = apply_move(self.belief, self.model.sites, move)
        strain = self.strain + self.model.strain(action, bite, strokes)
        edge = self.edge.after(action, self.goal.job.under[action].edge_strain(move.work(self.theta)))
        return replace(self, belief=belief, strain=strain, edge=self._as_unsure(edge, belief), fresh=None)

    def strains(self, action: str, bite: str, strokes: Array) -> tuple[Array, Array]:
        """(n,) edge strain that is expected of a pass, and the standard deviation (n,) of its log."""
        stroking = Stroking(action, bite, strokes, self.strain)
        strain = self.goal.job.under[action].edge_strain(self.model.work(stroking, self.theta)[0])
        return strain, self.log_sd(action, bite, strokes)

    def log_sd(self, action: str, bite: str, strokes: Array) -> Array:
        """(n,) standard deviation of the log of what a pass does at a site, its scatter included."""
        n = self.model.sites
        return self.model.log_sd(Stroking(action, bite, strokes, self.strain), self.belief.cov[n:, n:])

    def _as_unsure(self, edge: Strained, belief: Belief) -> Strained:
        return with_unsure(self.goal.job.part, self.model, edge, belief)

    def annealed(self, why: Hardened) -> Outlook:
        """The same once the part has been annealed."""
        return replace(self, strain=np.zeros_like(self.strain), edge=self.edge.annealed(), fresh=why)

    def rounded(self, one: Array) -> Outlook:
        """Belief when counts are still to be made whole.

        one : (n,) work of a stroke. What a site gets too much its neighbour gets less, so that the
        error of the turn does not grow along the part.
        """
        error = ROUNDING * one**2 / 12.0
        n, cov = self.model.sites, self.belief.cov.copy()
        site = np.arange(n)
        cov[site, site] += error
        cov[site[1:], site[1:]] += error[:-1]
        cov[site[1:], site[:-1]] -= error[:-1]
        cov[site[:-1], site[1:]] -= error[:-1]
        return replace(self, belief=Belief(self.belief.mean, cov))

    def once_read(self) -> Outlook:
        """Belief after a full round of gaps that says what is expected."""
        rows = np.zeros((self.goal.read, len(self.belief.mean)))
        rows[:, : self.model.sites] = self.goal.free[: self.goal.read]
        variance = np.full(len(rows), self.goal.reading_variance)
        update = read(self.belief, rows, np.zeros(len(rows)), variance)
        return replace(self, belief=update.belief, edge=self._as_unsure(self.edge, update.belief))
