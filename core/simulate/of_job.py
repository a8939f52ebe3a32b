"""A simulated bar or dish for a job, fresh or as it is after a log."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from core.errors import InputError
from core.events import effective
from core.jobtypes import Job
from core.kinds.dish import DishPart
from core.kinds.section import SectionPart
from core.simulate.bar import SimulatedBar, Stock
from core.simulate.dish import Disc, SimulatedDish
from core.simulate.metal import Twist
from core.simulate.truth import Truth, draw_truth

PIECE_SD = 0.05  # of ln work from piece to piece of one metal under one tool (common practice, no source)


def stock_of(job: Job) -> Stock:
    """The bar that this job starts with. Raises InputError for a kind of part that is no bar."""
    part = job.part
    if not isinstance(part, SectionPart):
        raise InputError("kind", job.kind, "only a section bar can be simulated")
    warping = part.effect.warping
    twist = (
        None
        if warping is None
        else Twist(warping.decay_mm, warping.kink_per_strain, warping.heel_lever_mm, warping.end.reach_mm)
    )
    return Stock(
        line=part.line,
        stations_mm=part.sites.position_mm,
        width_mm=part.sites.width_mm,
        flange_mm=part.section.flange_mm,
        edge_mm=part.section.worked_edge_distance_mm,
        kink_per_strain_rad=part.effect.kink_per_strain_rad,
        tool=job.tool,
        twist=twist,
        template=job.template,
        gauge=job.gauge,
    )


def simulated_bar(job: Job, seed: int, truth: Truth | None = None, batch: int | None = None) -> SimulatedBar:
    """The job's bar before the first stroke; its hidden numbers are drawn from the seed unless given.

    batch : seed of what all bars of one metal have in common under one tool; None: nothing
    """
    if truth is None:
        truth = draw_truth(np.random.default_rng([seed, 1]), job.tool.bites)
        if batch is not None:
            truth = of_batch(truth, batch, seed, job.tool.bites)
    return SimulatedBar(stock_of(job), truth, seed)


def of_batch(truth: Truth, batch: int, seed: int, bites: Mapping[str, float]) -> Truth:
    """A bar that answers strokes as its batch does, but for what differs from piece to piece."""
    alike = draw_truth(np.random.default_rng([batch, 2]), bites)
    piece = float(np.exp(np.random.default_rng([seed, 3]).normal(0.0, PIECE_SD)))
    return replace(
        truth,
        common=alike.common * piece,
        action=alike.action,
        bite_exponent=alike.bite_exponent,
        bite=alike.bite,
        exponent=alike.exponent,
        hardening_strain=alike.hardening_strain,
    )


def answering_bar(job: Job, events: Iterable[Any], seed: int, batch: int | None = None) -> SimulatedBar:
    """The job's bar after the passes and anneals of a log; the same log gives the same bar."""
    bar = simulated_bar(job, seed, batch=batch)
    _put_through(bar, events)
    return bar


def simulated_dish(
    job: Job, seed: int, truth: Truth | None = None, batch: int | None = None
) -> SimulatedDish:
    """The job's disc before the first stroke, as :func:`simulated_bar`. Raises InputError for a kind of part
    that is no dish."""
    part = job.part
    if not isinstance(part, DishPart):
        raise InputError("kind", job.kind, "only a dish can be simulated as one")
    if truth is None:
        truth = draw_truth(np.random.default_rng([seed, 1]), job.tool.bites)
        if batch is not None:
            truth = of_batch(truth, batch, seed, job.tool.bites)
    disc = Disc(
        line=part.blank.meridian,
        along=part.blank.along,
        rings_mm=part.rings_mm,
        places_mm=part.sites.position_mm,
        thickness_mm=part.thickness_of_disc_mm,
        poisson=part.poisson,
        tool=job.tool,
        template=job.template,
        gauge=job.gauge,
    )
    return SimulatedDish(disc, truth, seed)


def answering_dish(job: Job, events: Iterable[Any], seed: int, batch: int | None = None) -> SimulatedDish:
    """The job's disc after the passes and anneals of a log; the same log gives the same dish."""
    dish = simulated_dish(job, seed, batch=batch)
    _put_through(dish, events)
    return dish


def _put_through(part: SimulatedBar | SimulatedDish, events: Iterable[Any]) -> None:
    for event in effective(events):
        if event["event"] == "pass_done":
            part.work(event["action"], event["bite"], event["strokes"])
        elif event["event"] == "annealed":
            part.anneal()
        elif event["event"] == "smoothed":
            part.smooth(event["bite"], event["strokes"])
