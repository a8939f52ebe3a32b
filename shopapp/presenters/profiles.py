"""The cross-section as it is set up, drawn to scale."""

from __future__ import annotations

import core
from shopapp.presenters.pieces import Profile


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
    )
