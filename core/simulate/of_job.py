"""A simulated bar for a job, fresh or as it is after a log."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from core.errors import InputError
from core.events import effective
from core.geometry.flange_blank import bend_allowance_mm
from core.geometry.flange_turning import edge_per_strain
from core.geometry.stroke import StrokeEffect
from core.jobtypes import Job, Tool
from core.kinds.base import Part
from core.kinds.dish import DishPart
from core.kinds.flange import FlangePart
from core.kinds.section import SectionPart
from core.simulate.bar import Other, SimulatedBar, Stock, Struck
from core.simulate.dish import Disc, SimulatedDish
from core.simulate.flange import Edge, Pressed, SimulatedFlange
from core.simulate.metal import Twist
from core.simulate.truth import Truth, draw_truth

PIECE_SD = 0.05  # of ln work from piece to piece of one metal under one tool (common practice, no source)


def stock_of(job: Job) -> Stock:
    """The bar that this job starts with. Raises InputError for a kind of part that is no bar."""
    part = job.part
    if not isinstance(part, SectionPart):
        raise InputError("kind", job.kind, "only a section bar can be simulated")
    return Stock(
        line=part.line,
        stations_mm=part.sites.position_mm,
        width_mm=part.sites.width_mm,
        flange_mm=part.section.flange_mm,
        edge_mm=part.section.worked_edge_distance_mm,
        struck={action: _struck(job.tools[action], under) for action, under in job.under.items()},
        twist=_twist(part.effect),
        template=job.template,
        gauge=job.gauge,
    )


def _struck(tool: Tool, part: Part) -> Struck:
    assert isinstance(part, SectionPart)  # the same kind under every tool
    effect, flange, beyond = part.effect, part.section.other, part.beyond
    other = None
    if flange is not None and beyond is not None:
        upright = flange.rectangle.free_edge == "z1"
        kinks = beyond.kink_per_strain_rad, beyond.bow_per_strain_rad
        other = Other(*kinks, flange.width_mm, upright, _twist(beyond))
    return Struck(tool, effect.kink_per_strain_rad, effect.bow_per_strain_rad, other)


def _twist(effect: StrokeEffect) -> Twist | None:
    warping = effect.warping
    if warping is None:
        return None
    lever, out, end = warping.heel_lever_mm, warping.heel_lever_out_mm, warping.end.reach_mm
    return Twist(warping.decay_mm, warping.kink_per_strain, lever, end, out)


def simulated_bar(job: Job, seed: int, truth: Truth | None = None, batch: int | None = None) -> SimulatedBar:
    """The job's bar before the first stroke; its hidden numbers are drawn from the seed unless given.

    batch : seed of what all bars of one metal have in common under one tool; None: nothing
    """
    if truth is None:
        bites = _all_bites(job)
        truth = draw_truth(np.random.default_rng([seed, 1]), bites)
        if batch is not None:
            truth = of_batch(truth, batch, seed, bites)
    return SimulatedBar(stock_of(job), truth, seed)


def simulated_flange(job: Job, seed: int, truth: Truth | None = None) -> SimulatedFlange:
    """The job's flange before the first stroke; its hidden numbers are drawn from the seed unless given.

    Raises InputError for a kind of part that is no flange.
    """
    if not isinstance(job.part, FlangePart):
        raise InputError("kind", job.kind, "a flange is wanted")
    part, bend = job.part, job.part.bend
    edge = Edge(
        ends_mm=part.sectors.ends_mm,
        curvature_per_mm=part.sectors.curvature_per_mm,
        folded=part.folded,
        sides=part.sides,
        closed=part.curve.closed,
        height_mm=bend.height_mm,
        thickness_mm=bend.thickness_mm,
        angle_rad=bend.angle_rad,
        arc_mm=float(bend_allowance_mm(bend.angle_rad, bend.inside_mm, bend.thickness_mm)),
        start_rad=bend.start_rad,
        poisson=job.metal.poisson,
        pressed={action: _pressed(job.tools[action], under) for action, under in job.under.items()},
        gauge=job.gauge,
    )
    hidden = draw_truth(np.random.default_rng([seed, 1]), _all_bites(job)) if truth is None else truth
    return SimulatedFlange(edge, hidden, seed)


def _pressed(tool: Tool, part: Part) -> Pressed:
    assert isinstance(part, FlangePart)  # the same kind under every tool
    depth = float(edge_per_strain(part.patch_depth_mm, part.bend.height_mm))
    return Pressed(tool, depth, part.fold_per_strain_rad)


def simulated_dish(job: Job, seed: int, truth: Truth | None = None) -> SimulatedDish:
    """The job's disc before the first stroke; its hidden numbers are drawn from the seed unless given.

    Raises InputError for a kind of part that is no dish.
    """
    part = job.part
    if not isinstance(part, DishPart):
        raise InputError("kind", job.kind, "a dish is wanted")
    disc = Disc(
        line=part.blank.meridian,
        along=part.blank.along,
        rings_mm=part.rings_mm,
        places_mm=part.sites.position_mm,
        thickness_mm=part.thickness_of_disc_mm,
        poisson=part.poisson,
        tools=job.tools,
        template=job.template,
        gauge=job.gauge,
    )
    hidden = draw_truth(np.random.default_rng([seed, 1]), _all_bites(job)) if truth is None else truth
    return SimulatedDish(disc, hidden, seed)


def _all_bites(job: Job) -> dict[str, float]:
    """Of every tool of the job."""
    return {name: strength for tool in job.tools.values() for name, strength in tool.bites.items()}


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
    """The job's bar after what a log says was done to it; the same log gives the same bar."""
    bar = simulated_bar(job, seed, batch=batch)
    for event in effective(events):
        if event["event"] == "pass_done":
            bar.work(event["action"], event["bite"], event["strokes"])
        elif event["event"] == "annealed":
            bar.anneal()
        elif event["event"] == "smoothed":
            bar.smooth(event["bite"], event["strokes"], job.smoother)
        elif event["event"] == "counter_done":
            bar.counter(event["action"], event["bite"], event["strokes"])
    return bar
