"""The target drawn to scale, with the deviation magnified until it can be read."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

import numpy as np
from numpy.typing import NDArray

import core
from shopapp.presenters import doing, part_words, wording, worked_side
from shopapp.presenters.pieces import Outline, Point

Array = NDArray[np.float64]
FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
WORKED, ARROWS, ENDS = 0.05, 0.14, -0.08
"""how far beside the line the worked edge, its arrows and the numbers of the ends are drawn, as a share of
the drawing's longer side, > 0 on the worked side"""
NUMBERED = 0.16
"""the same of a site's number in a small figure, on the other side"""
CLOSED = 0.01
"""share of the drawing's longer side that the ends of a closed line are apart at most"""
READABLE = 0.12
"""share of the drawing's longer side that the largest magnified deviation may take"""


def with_worked_edge(job: core.Job) -> Outline:
    """The line as it is set up, a bar's worked edge beside it, arrows where metal gets shorter or longer."""
    words = part_words.words_of(job.part)
    points = np.asarray(job.part.outline(), dtype=float)
    worked, arrows, ends = (worked_side.beside(points, share) for share in (WORKED, ARROWS, ENDS))
    along = np.linspace(0.0, job.part.length_mm, len(points))
    return Outline(
        points=_points(points),
        worked=_points(worked) if words.bold else (),
        arrows=tuple(
            (_points(arrows)[i], {**wording.ARROWS, "fold": doing.FOLDS["fold up"]}[action])
            for i, action in worked_side.arrows_at(job, along)
        ),
        ends=_ends(points, _points(ends), len(job.part.sites)),
        factor_text=words.caption,
    )


def with_sites(job: core.Job, runs: Sequence[tuple[int, int]], named: Sequence[int]) -> Outline:
    """The line with some of its sites drawn bold. runs : first and last of neighbours, from 0; named : those
    whose number stands beside it"""
    points, sites = np.asarray(job.part.outline(), dtype=float), job.part.sites
    at, half = np.asarray(sites.position_mm, dtype=float), 0.5 * np.asarray(sites.width_mm, dtype=float)
    along = _lengths(points)
    spans = [np.clip([at[a] - half[a], at[b] + half[b]], 0.0, along[-1]) for a, b in runs]
    arcs = [np.unique([*span, *along[(along > span[0]) & (along < span[1])]]) for span in spans]
    beside, outward = _stations(points, at)
    away = NUMBERED * float(np.max(np.ptp(points, axis=0)))
    ends = _points(beside[list(named)] + away * outward[list(named)])
    return Outline(
        points=_points(points),
        arcs=tuple(_points(_stations(points, each)[0]) for each in arcs),
        ends=tuple(zip(ends, (str(site + 1) for site in named), strict=True)),
    )


def of_points(along: Array, bold: str = "the worked edge") -> Outline:
    """A line through (m, 2) points, to scale, with what lies on its left hand drawn bold, "" for nothing."""
    points = np.asarray(along, dtype=float)
    worked, ends = (worked_side.beside(points, share) for share in (WORKED, ENDS))
    named = tuple(zip((_points(ends)[0], _points(ends)[-1]), ("start", "end"), strict=True))
    return Outline(
        points=_points(points),
        worked=_points(worked) if bold else (),
        ends=named,
        factor_text=f"bold: {bold}" if bold else "",
    )


def _ends(points: Array, beside: tuple[Point, ...], sites: int) -> tuple[tuple[Point, str], ...]:
    """Number of the first and the last site beside the ends; of the first alone where the line closes."""
    apart = float(np.hypot(*(points[-1] - points[0])))
    first = (beside[0], "1")
    return (
        (first, (beside[-1], str(sites)))
        if apart > CLOSED * float(np.max(np.ptp(points, axis=0)))
        else (first,)
    )


def with_deviation(job: core.Job, deviation_mm: Array | None) -> Outline:
    """Target, stations, tolerance band, and the part as it is.

    deviation_mm : (n,) signed, > 0 outward of the template, or None while nothing is known.
    """
    outline, stems = np.asarray(job.part.outline(), dtype=float), isinstance(job.part, core.TurnedEdge)
    stations, outward = _stations(outline, np.asarray(job.part.sites.position_mm, dtype=float))
    known = deviation_mm is not None and bool(np.all(np.isfinite(deviation_mm)))
    deviation = np.asarray(deviation_mm, dtype=float) if known else np.zeros(len(stations))
    tolerance = job.tolerance_mm
    size = float(np.max(np.ptp(outline, axis=0)))
    factor = magnification(max(float(np.max(np.abs(deviation))), tolerance), size)
    along, away = _stations(outline, _lengths(outline)) if stems else (stations, outward)
    edge, text = factor * tolerance * away, _factor_text(_magnified(job, known), factor)
    return Outline(
        points=_points(outline),
        stations=_points(stations),
        part=_points(stations + factor * deviation[:, None] * outward) if known else (),
        states=tuple(wording.state(float(d), tolerance) for d in deviation) if known else (),
        band=(_points(along - edge), _points(along + edge)),
        factor=factor,
        factor_text=f"{text}, thin: ±{wording.limit(tolerance)}" if stems else text,
        limit_text="" if stems else wording.limit_digits(tolerance),
        stems=stems,
    )


def _magnified(job: core.Job, known: bool) -> str:
    """What the drawing magnifies."""
    return part_words.words_of(job.part).off if known else "tolerance"


def _factor_text(what: str, factor: float) -> str:
    return f"{what} to scale" if factor == 1 else f"{what} × {factor:g}"


def magnification(largest_mm: float, size_mm: float) -> int:
    """The largest round factor that keeps ``largest_mm`` a readable share of a drawing of ``size_mm``."""
    if not isfinite(largest_mm) or largest_mm <= 0:
        return 1
    fitting = [f for f in FACTORS if f * largest_mm <= READABLE * size_mm]
    return fitting[-1] if fitting else 1


def _stations(outline: Array, position_mm: Array) -> tuple[Array, Array]:
    """(n, 2) stations on the outline and (n, 2) unit vectors outward, to the right of the way along it."""
    steps, along = np.diff(outline, axis=0), _lengths(outline)
    points = np.stack([np.interp(position_mm, along, outline[:, k]) for k in (0, 1)], axis=1)
    piece = np.clip(np.searchsorted(along, position_mm, side="right") - 1, 0, len(steps) - 1)
    tangent = steps[piece] / np.diff(along)[piece, None]
    return points, np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)


def _lengths(outline: Array) -> Array:
    """(m,) way along the line to each of its points."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(outline, axis=0).T))])


def _points(xy: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in xy)
