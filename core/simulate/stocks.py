"""What lies on the bench when a job begins, as plain numbers for each kind of simulated part."""

from __future__ import annotations

from core.errors import InputError
from core.geometry.flange_blank import bend_allowance_mm
from core.geometry.flange_turning import edge_per_strain
from core.geometry.stroke import StrokeEffect
from core.jobtypes import Job, Tool
from core.kinds.base import Part
from core.kinds.dish import DishPart
from core.kinds.flange import FlangePart
from core.kinds.section import SectionPart
from core.simulate.bar import Other, Stock, Struck
from core.simulate.dish import Disc
from core.simulate.flange import Edge, Pressed
from core.simulate.metal import Twist


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


def edge_of(job: Job) -> Edge:
    """The plate that this job starts with. Raises InputError for a kind of part that is no flange."""
    if not isinstance(job.part, FlangePart):
        raise InputError("kind", job.kind, "a flange is wanted")
    part, bend = job.part, job.part.bend
    return Edge(
        ends_mm=part.sectors.ends_mm,
        curvature_per_mm=part.sectors.curvature_per_mm,
        folded=part.folded,
        sides=part.sides,
        closed=part.curve.closed,
        height_mm=bend.height_mm,
        arm_mm=part.arm_mm,
        thickness_mm=bend.thickness_mm,
        angle_rad=bend.angle_rad,
        arc_mm=float(bend_allowance_mm(bend.angle_rad, bend.inside_mm, bend.thickness_mm)),
        start_rad=bend.start_rad,
        poisson=job.metal.poisson,
        pressed={action: _pressed(job.tools[action], under) for action, under in job.under.items()},
        gauge=job.gauge,
    )


def _pressed(tool: Tool, part: Part) -> Pressed:
    assert isinstance(part, FlangePart)  # the same kind under every tool
    depth = float(edge_per_strain(part.patch_depth_mm, part.arm_mm))
    return Pressed(tool, depth, part.fold_per_strain_rad)


def disc_of(job: Job) -> Disc:
    """The disc that this job starts with. Raises InputError for a kind of part that is no dish."""
    part = job.part
    if not isinstance(part, DishPart):
        raise InputError("kind", job.kind, "a dish is wanted")
    return Disc(
        line=part.blank.meridian,
        along=part.blank.along(part.sites.position_mm),
        rings_mm=part.rings_mm,
        rim_share=part.rim_share,
        places_mm=part.sites.position_mm,
        thickness_mm=part.thickness_of_disc_mm,
        poisson=part.poisson,
        tools=job.tools,
        template=job.template,
        gauge=job.gauge,
    )
