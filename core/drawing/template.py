"""A job's template as a drawing in its true size."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.drawing.lettering import Label, lettered
from core.drawing.outline import BODY_MM, CHORD_ERROR_MM, NUMBER_MM, Outline, template_outline
from core.jobfields import chosen
from core.jobtypes import Job
from core.kinds.template_edge import SIDES, TemplateEdge, template_edge
from core.units import format_length, format_limit

Array = NDArray[np.float64]
MARK_TEXT_MM = 4.0
ASIDE_MM = 3.0  # texts keep from the back and the sides
WIDEST_MM = 150.0  # of the texts: about what one sheet of paper takes


@dataclass(frozen=True)
class Drawing:
    """A template in mm, x to the right and y up, its lower left corner at 0.

    title : part and template, for a heading; cut : (m, 2) the closed outline, of which the first
    ``edge_points`` are the edge that is held against the part; ticks : (n, 2, 2) marks; labels : texts
    """

    title: str
    cut: Array
    edge_points: int
    ticks: Array
    labels: tuple[Label, ...]

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height over all."""
        width, height = np.max(self.cut, axis=0)
        return float(width), float(height)


def template_drawing(job: Job, side: str | None = None, half: bool = False) -> Drawing:
    """The template of a job, to be cut along its outline.

    side : "inside" or "outside"; not said: as the job's template is used, "inside" where that has no side
    half : for a dish, from the pole to the rim only
    What the edge is cut to is said in :mod:`core.kinds.template_edge`; it is drawn as a polyline no farther
    than ``CHORD_ERROR_MM`` from the exact curve. Raises InputError, ``side`` or ``half``, for what cannot be
    drawn.
    """
    used = job.template.name if job.template.name in SIDES else "inside"
    wanted = used if side is None else chosen(side, "side", dict.fromkeys(SIDES))
    edge = template_edge(job.part, wanted, used, half)
    outline = template_outline(edge)
    numbers = [
        Label(mark.text, (float(x), float(y)), MARK_TEXT_MM, centred=True)
        for mark, (x, y) in zip(edge.marks, outline.numbers, strict=True)
    ]
    return Drawing(
        title=f"{job.name}, {edge.name}",
        cut=outline.whole,
        edge_points=len(outline.edge),
        ticks=outline.ticks,
        labels=(*_lettering(job, edge, outline), *numbers),
    )


def _lettering(job: Job, edge: TemplateEdge, outline: Outline) -> tuple[Label, ...]:
    """Between the highest number and the back, where no mark reaches."""
    across, top = (float(most) for most in np.max(outline.whole, axis=0))
    depth = BODY_MM - NUMBER_MM - MARK_TEXT_MM - ASIDE_MM
    width = min(WIDEST_MM, across - 2 * ASIDE_MM)
    return lettered(_sentences(job, edge, outline), ASIDE_MM, top - ASIDE_MM, width, depth)


def _sentences(job: Job, edge: TemplateEdge, outline: Outline) -> list[str]:
    thickness = float(np.min(job.part.thickness_mm(np.zeros(len(job.part.sites)))))
    width, height = np.max(outline.whole, axis=0)
    return [
        f"{job.name}: {edge.name}, full size",
        edge.rests,
        f"{job.metal.name}, {format_length(thickness)}; gaps up to {format_limit(job.tolerance_mm)}",
        f"Over all {width:.1f} x {height:.1f} mm. The edge is true to {CHORD_ERROR_MM:g} mm.",
        *_marks_told(job, edge),
    ]


def _marks_told(job: Job, edge: TemplateEdge) -> list[str]:
    count = len(job.part.sites)
    if str(count) not in {mark.text for mark in edge.marks}:
        return []
    return [f"Marks: {job.part.sites.label}s 1 to {count}."]
