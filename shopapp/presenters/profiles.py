"""The cross-section as it is set up, drawn to scale, with its sizes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import wording
from shopapp.presenters.picture_views import Picture
from shopapp.presenters.pieces import PLAIN, Profile, Size

FIELDS = ("shape", "flanges", "section")
EXAMPLE = "An example, not to scale. All sizes are taken over the outside."
NAMES = {
    "angle": {"below": "worked flange", "left": "other flange"},
    "channel": {"below": "flange", "left": "web"},
    "Z": {"below": "flange", "left": "web", "above": "other flange"},
    "T": {"below": "depth", "left": "flange"},
    "flat bar": {"below": "depth", "left": "thickness"},
}
"""what the sizes beside a section are called in the form, by shape and side"""


def picture(job: core.Job) -> Picture | None:
    """The section with its sizes, and in words what of it the tool works."""
    profile, section = of_part(job), getattr(job.part, "section", None)
    if profile is None or section is None:
        return None
    reach = min(job.tool.patch_depth_mm, section.flange_mm)
    edges = "edge" if len(section.worked) == 1 else f"{len(section.worked)} edges"
    said = (
        f"Worked flange {wording.size(section.flange_mm)}, {wording.size(section.thickness_mm)} thick; "
        f"bold: the worked {edges}, {wording.size(reach)} deep."
    )
    return Picture(FIELDS, profile, ((said, PLAIN),))


def example(job: core.Job) -> Picture | None:
    """Before the sizes are typed: any section of the shape, with what each size is called in place of it."""
    profile = of_part(job)
    if profile is None:
        return None
    names = NAMES[job.document["section"]["shape"]]
    sizes = tuple(replace(size, text=names[size.side]) for size in profile.sizes)
    return Picture(FIELDS, replace(profile, sizes=sizes), ((EXAMPLE, PLAIN),))


def of_part(job: core.Job) -> Profile | None:
    """The section of the job's part, its worked edges as deep as the tool reaches; None where it has none."""
    section = getattr(job.part, "section", None)
    if section is None:
        return None
    depth = job.tool.patch_depth_mm
    edges = (wall.edge_strip(min(depth, wall.y1 - wall.y0)) for wall in section.worked)
    return Profile(
        rectangles=tuple((r.y0, r.z0, r.y1, r.z1) for r in section.rectangles),
        worked=tuple((r.y0, r.z0, r.y1, r.z1) for r in edges),
        sizes=_sizes(section),
    )


def _sizes(section: Any) -> tuple[Size, ...]:
    """Widths over all: the worked flange below, what stands across it at the left, a flange that points the
    other way above."""
    walls = section.rectangles
    free = max(r.y1 for r in walls)
    bottom, top = min(r.z0 for r in walls), max(r.z1 for r in walls)
    found = [Size("below", free - section.flange_mm, free, wording.size(section.flange_mm))]
    if top - bottom > section.thickness_mm * 1.001:
        found.append(Size("left", bottom, top, wording.size(top - bottom)))
    other = section.other
    if other is not None and other.rectangle.y0 < 0.0:
        found.append(Size("above", other.rectangle.y0, other.rectangle.y1, wording.size(other.width_mm)))
    return tuple(found)
