"""The lobes of a part that is read on meridians, as the refit carries them beside the work.

They stand behind the work of the sites: two numbers for each lobed part (:mod:`core.readings.lobes`), then,
for each, how far a step against it goes, as a share of what even work would do at the rim. No even work moves
them; each pass adds some, since none is quite even. A step against lobes moves them by strokes times that
share, which is linear in what is not known. How large they may be is taken from the log
(:mod:`core.estimate.lobesize`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import pi

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief
from core.estimate.lobesize import LobeSize
from core.estimate.response import SIGN
from core.estimate.seated import Reading, read_seated
from core.estimate.standing import as_cut
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.lobes import components, lobe_rows, lobe_sd_mm, lobes_added_mm, waves
from core.readings.rounds import HeightsRead, RimRead, Round, Rounded
from core.readings.seating import rigid_free

Array = NDArray[np.float64]
# What a step does against what even work of as many strokes would: by linear theory a quarter, over a whole
# uneven pass several times as much (finite elements), so as good as unknown.
ANSWER, ANSWER_SD = 1.0, 1.5
ANSWER_OWN = 0.2  # sd of what one step does, over what steps do (common practice, no source)
# What a pass of so much strain makes of lobes that are there, sd over their size, and less in proportion:
# what is lobed gives way further (common practice, no source).
GROWS, GROWS_BY = 0.3, 0.001
HALF_ROUND = 2.0 / pi  # first harmonic of strokes on half of the rim in equal arcs
MOST_LOOKS, STILL_MM = 6, 0.02  # of taking slopes anew at the shape that the rim tells


@dataclass(frozen=True)
class Uneven:
    """The lobes' place in a belief over [work, lobes and answers, response]; empty for other parts. large :
    by the log, as good work leaves them where none is given."""

    job: Job
    sites: int
    large: LobeSize | None = None

    def on(self, job: Job) -> Uneven:
        """The same of the part as it is now."""
        return self if job is self.job else replace(self, job=job)

    @cached_property
    def lobes(self) -> int:
        """Numbers that the lobes are."""
        return components(self.job.part)

    @property
    def size(self) -> int:
        """Numbers in all."""
        return self.lobes + self.lobes // 2

    def started(self, belief: Belief) -> Belief:
        """With what is believed of untouched stock put behind the work."""
        if not self.size:
            return belief
        sd = np.concatenate([self._scale * lobe_sd_mm(self.job.part), np.full(self.lobes // 2, ANSWER_SD)])
        mean = np.concatenate([np.zeros(self.lobes), np.full(self.lobes // 2, ANSWER)])
        wide, n, total = belief.widened(mean, np.diag(sd**2)), self.sites, len(belief.mean)
        order = np.concatenate([np.arange(n), np.arange(total, total + self.size), np.arange(n, total)])
        return Belief(wide.mean[order], wide.cov[np.ix_(order, order)])

    def without(self, belief: Belief) -> Belief:
        """The belief over work and response alone."""
        if not self.size:
            return belief
        n, total = self.sites, len(belief.mean)
        kept = np.concatenate([np.arange(n), np.arange(n + self.size, total)])
        return Belief(belief.mean[kept], belief.cov[kept][:, kept])

    def taken_for_even(self, belief: Belief, meridians: Sequence[float], which: NDArray[np.bool_]) -> Belief:
        """The same with work in place of what these numbers (c,) of the lobes show on these meridians (rad),
        in their mean: the work that would show it, as readings move work where nothing is lobed. Lobes stay
        as they are."""
        part, n = self.job.part, self.sites
        if not isinstance(part, ReadOnMeridians):
            return belief
        wave = waves(part, np.array(meridians)).mean(axis=0) * which
        shown = np.repeat(part.lobes_mm(part.sites.position_mm), 2, axis=1) * wave
        here = part.linearise(belief.mean[:n])
        free = rigid_free(here.seating)
        rows, cov = free @ here.influence, belief.cov[:n, :n]
        noise = self.job.gauge.sd_mm(self.job.template.sd_mm) ** 2 * np.eye(len(rows))
        move = np.eye(len(belief.mean))
        move[:n, n : n + self.lobes] = (
            cov @ rows.T @ np.linalg.solve(rows @ cov @ rows.T + noise, free @ shown)
        )
        return Belief(move @ belief.mean, move @ belief.cov @ move.T)

    def rows(self, step: Round) -> Array:
        """(n, size) what the round shows of each at its stations."""
        if not self.size:
            return np.zeros((len(step.gaps_mm), 0))
        shown = lobe_rows(self.job.part, step.template, step.layout.points_mm, step.meridian_rad)
        return np.hstack([shown, np.zeros((len(shown), self.lobes // 2))])

    def worked(self, belief: Belief, work: Array) -> Belief:
        """After a pass that was meant to be even and did this work (n,), unsigned."""
        if not self.size:
            return belief
        cov, at = belief.cov.copy(), self.sites + np.arange(self.lobes)
        cov[at, at] += self.added_mm(work) ** 2
        return Belief(belief.mean, cov)

    def added_mm(self, work: Array) -> Array:
        """(c,) standard deviation of what a pass that does this work (n,) adds to each."""
        strain = self.job.part.edge_strain(work)
        by_work = self._scale * lobes_added_mm(self.job.part, strain)
        if self.large is None:
            return by_work
        share = GROWS * min(float(np.max(np.abs(strain), initial=0.0)) / GROWS_BY, 1.0)
        return np.hypot(by_work, share * np.repeat(self.large.seen_mm, 2))

    @property
    def _scale(self) -> Array | float:
        return 1.0 if self.large is None else np.repeat(self.large.scale, 2)

    def stepped(self, belief: Belief, step: Rounded) -> Belief:
        """After a step against lobes; its even part apart. Arcs laid out by hand leave as much of lobes as
        stock has, and no step does quite what the one before did."""
        part = self.job.part
        assert isinstance(part, ReadOnMeridians)  # the log was held against the job
        which = part.lobes.index(step.lobes)
        along = waves(part, np.array([step.at_rad]))[0, 2 * which : 2 * which + 2]
        move = np.eye(len(belief.mean))
        does = SIGN[step.action] * step.strokes * even_mm(self.job, step.action, step.bite)
        at = self.sites + 2 * which + np.arange(2)
        move[at, self.sites + self.lobes + which] = -does * along
        cov, own = move @ belief.cov @ move.T, self.sites + np.arange(self.lobes)
        cov[own, own] += lobe_sd_mm(part) ** 2
        cov[at, at] += (ANSWER_OWN * does * belief.mean[self.sites + self.lobes + which]) ** 2
        return Belief(move @ belief.mean, 0.5 * (cov + cov.T))

    def rim_read(self, belief: Belief, step: RimRead) -> tuple[Belief, Reading]:
        """After diameters of the rim, and what they say, linearly. They do not tell odd lobes: what such a
        rim stands out on one side it lacks on the other."""
        part = self.job.part
        assert isinstance(part, ReadOnMeridians)  # the log was held against the job
        return self._across(belief, step, step.diameters_mm, part.rim_across, 2.0 * part.rim_radial)

    def heights_read(self, belief: Belief, step: HeightsRead) -> tuple[Belief, Reading]:
        """The same of heights of the rim. Each is the mean of both ends of a diameter, so that odd lobes do
        not show."""
        part = self.job.part
        assert isinstance(part, ReadOnMeridians)  # the log was held against the job
        return self._across(belief, step, step.heights_mm, part.rim_height, part.rim_axial)

    def _across(
        self,
        belief: Belief,
        step: RimRead | HeightsRead,
        read_mm: Array,
        evenly: Callable[[Array], tuple[float, Array, float]],
        lobed: Array,
    ) -> tuple[Belief, Reading]:
        """After readings (r,) straight across the rim. evenly : what they are alike all round with work (n,)
        left, its slopes, and sd of what is off in all of them; lobed : (m,) what lobes make of them"""
        part, n, count = self.job.part, self.sites, len(step.at_rad)
        assert isinstance(part, ReadOnMeridians)  # the log was held against the job
        shown = np.repeat(lobed * (np.array(part.lobes) % 2 == 0), 2)
        rows = np.zeros((count, n + self.size))
        rows[:, n : n + self.lobes] = shown * waves(part, step.at_rad)
        alike, variance, x = np.ones((count, 1)), np.full(count, step.sd_mm**2), belief.mean[:n]
        for _ in range(MOST_LOOKS):
            mean, rows[:, :n], off = evenly(x)
            offset = np.full(count, mean) - rows[:, :n] @ x
            reading = Reading(np.arange(count), read_mm, offset, rows, alike, variance)
            after = read_seated(belief, reading, np.array([off])).belief
            moved, x = rows[0, :n] @ (after.mean[:n] - x), after.mean[:n]
            if abs(moved) < STILL_MM:
                break
        return after.first(len(belief.mean)), reading


def even_mm(job: Job, action: str, bite: str) -> float:
    """Outward motion of the rim, mm, amplitude round it, that a stroke on every spot of half of it would make
    if it answered as it does to even work."""
    part = as_cut(job).part
    at_rim = part.linearise(np.zeros(len(part.sites)), at_mm=np.array([part.length_mm])).influence[0, -1]
    work = job.under[action].work_per_strain()[-1] * job.tools[action].strain(bite)
    return float(HALF_ROUND * at_rim * work)
