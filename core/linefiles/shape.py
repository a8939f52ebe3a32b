"""A figure of a drawing as the line of a job: segments where it is arcs and straights, else offsets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from math import degrees, inf, pi
from typing import Any

import numpy as np

from core.errors import InputError
from core.geometry.line import Array, TargetLine
from core.geometry.offsets import from_offsets
from core.geometry.points import LARGEST_TABLE
from core.geometry.segments import from_segments
from core.geometry.traced import from_traced
from core.jobfields import LONGEST_MM
from core.linefiles.errors import at_line
from core.linefiles.figure import Figure

SMOOTH_RAD = 2e-3  # two pieces meet without a corner; drawings are rounded
CORNER_RAD = np.radians(2.0)
SEEN_CORNER_RAD = np.radians(50.0)  # between chords of a polygon that is worth a word
END_OFF_MM, OFF_MM, LENGTH_OFF = 0.01, 1e-3, 1e-7
MOST_SAMPLES = 257
OUTLINE_POINTS, CHECKED_POINTS = 241, 2001
DECIMALS = 6
FLATTEST_PER_MM = 1e-6  # curvature below which a line counts as straight


@dataclass(frozen=True, eq=False)
class FileLine:
    """A line found in a file, to be looked at before it is taken.

    label : what it is in the file; line : the field ``line`` of a job, plain numbers in mm; points : that the
    file gives; drawn_mm : length as drawn, of a polygon along its chords; length_mm : of the line as taken;
    tightest_mm : smallest radius, inf where it is straight, at tightest_at_mm along; turn_rad : from its
    first to its last direction; outline : (k, 2) mm, to draw it; warnings : sentences; from_axis : its points
    are told from an origin that means something, as in a table
    """

    label: str
    line: Mapping[str, Any]
    points: int
    drawn_mm: float
    length_mm: float
    tightest_mm: float
    tightest_at_mm: float
    turn_rad: float
    outline: Array
    warnings: tuple[str, ...]
    from_axis: bool = False

    def other_end(self) -> FileLine:
        """The same line walked from its other end, which puts the worked edge on its other side."""
        if "segments_mm" in self.line:
            pairs = [[mm, radius and -radius] for mm, radius in self.line["segments_mm"][::-1]]
            line = {"segments_mm": pairs}
        else:
            line = {k: v[::-1] if isinstance(v, list) else v for k, v in self.line.items()}
        return replace(
            self,
            line=line,
            tightest_at_mm=self.length_mm - self.tightest_at_mm,
            outline=self.outline[::-1],
            turn_rad=-self.turn_rad,
        )


def figure_line(figure: Figure, name: str) -> FileLine:
    """A figure in mm as the line of a job. Raises InputError naming the line of the file."""
    _length_of_a_bar(figure, name)
    breaks = _breaks_rad(figure)
    bends = [piece.bend for piece in figure.pieces]
    drawn = figure.length
    if None not in bends and max(breaks, default=0.0) <= SMOOTH_RAD:
        pairs = [(p.length, 1.0 / p.bend if p.bend else None) for p in figure.pieces]
        line = from_segments(pairs)
        if _ends_alike(line, figure):
            kept = [[_short(mm), None if radius is None else _short(radius)] for mm, radius in pairs]
            return _told(figure.label, {"segments_mm": kept}, len(pairs) + 1, drawn, line, ())
    if not any(bends) and len(bends) > 1 and None not in bends:
        corners = np.array([figure.start, *(piece.end for piece in figure.pieces)])
        return table_line(corners, figure.label, at_line(name, figure.place), drawn, _corner(breaks))
    if max(breaks, default=0.0) > CORNER_RAD:
        k = int(np.argmax(breaks))
        raise InputError(
            at_line(name, figure.pieces[k + 1].place),
            f"a corner of {degrees(breaks[k]):.0f}°",
            "a line without corners is wanted: its pieces have to run into each other",
        )
    points, warnings = _sampled(figure)
    found = table_line(points, figure.label, at_line(name, figure.place), drawn)
    return replace(found, points=len(figure.pieces) + 1, warnings=(*found.warnings, *warnings))


def table_line(
    points_mm: Array,
    label: str,
    field: str,
    drawn_mm: float,
    warnings: tuple[str, ...] = (),
    sd_mm: float | None = None,
) -> FileLine:
    """A line through (k, 2) points, or a smooth one where they were traced with ``sd_mm``."""
    points = np.round(points_mm, DECIMALS) + 0.0
    try:
        line = from_offsets(points) if sd_mm is None else from_traced(points, sd_mm)
    except InputError as error:
        raise InputError(field, error.value, error.expected) from error
    if sd_mm is None:
        document: dict[str, Any] = {"offsets_mm": points.tolist()}
    else:
        document = {"traced_mm": points.tolist(), "tracing_sd_mm": sd_mm}
    return _told(label, document, len(points), drawn_mm, line, (*line.warnings, *warnings))


def _told(
    label: str,
    document: Mapping[str, Any],
    points: int,
    drawn_mm: float,
    line: TargetLine,
    warnings: tuple[str, ...],
) -> FileLine:
    s = np.linspace(0.0, line.length_mm, CHECKED_POINTS)
    curvature = np.abs(line.curvature_per_mm(s))
    worst = int(np.argmax(curvature))
    heading = line.heading_rad(s[[0, -1]])
    bent = curvature[worst] > FLATTEST_PER_MM
    return FileLine(
        label,
        document,
        points,
        drawn_mm,
        line.length_mm,
        float(1.0 / curvature[worst]) if bent else inf,
        float(s[worst]) if bent else 0.0,
        float(heading[1] - heading[0]),
        line.point_mm(np.linspace(0.0, line.length_mm, OUTLINE_POINTS)),
        warnings,
    )


def _length_of_a_bar(figure: Figure, name: str) -> None:
    if not 0.0 < figure.length <= LONGEST_MM:
        wanted = f"more than 0 and at most {LONGEST_MM / 1000:g} m is wanted; is the unit right?"
        raise InputError(at_line(name, figure.place), f"a length of {figure.length:.6g} mm", wanted)


def _breaks_rad(figure: Figure) -> list[float]:
    """By how much the line turns at each joint."""
    headings = [piece.headings_rad() for piece in figure.pieces]
    return [abs((after[0] - before[1] + pi) % (2 * pi) - pi) for before, after in pairwise(headings)]


def _corner(breaks: list[float]) -> tuple[str, ...]:
    k = int(np.argmax(breaks))
    if breaks[k] <= SEEN_CORNER_RAD:
        return ()
    return (f"The drawing turns by {degrees(breaks[k]):.0f}° at point {k + 2}; a bar has no corners.",)


def _ends_alike(line: TargetLine, figure: Figure) -> bool:
    """Whether the segments, laid end to end, end where the drawing does."""
    first, _ = figure.pieces[0].headings_rad()
    turn = np.array([[np.cos(first), -np.sin(first)], [np.sin(first), np.cos(first)]])
    there = figure.start + turn @ line.point_mm(line.length_mm)
    return float(np.hypot(*(there - figure.end))) <= END_OFF_MM


def _sampled(figure: Figure) -> tuple[Array, tuple[str, ...]]:
    """(k, 2) points on the figure, as few as a spline through them needs to follow it."""
    count = 17
    while True:
        every = _spread(figure, 2 * count - 1)
        points = every[::2]
        line = from_offsets(points)
        s = np.linspace(0.0, line.length_mm, 2 * count - 1)[1::2]
        away, heading = every[1::2] - line.point_mm(s), line.heading_rad(s)
        off = float(np.max(np.abs(np.cos(heading) * away[:, 1] - np.sin(heading) * away[:, 0])))
        length_off = abs(line.length_mm - figure.length)
        if off <= OFF_MM and length_off <= LENGTH_OFF * figure.length:
            return points, ()
        if count >= min(MOST_SAMPLES, LARGEST_TABLE):
            told = (
                f"The line follows the drawing to {off:.2g} mm: it has a joint or a bend that is too sharp."
            )
            return points, (told,) if off > OFF_MM else ()
        count = 2 * count - 1


def _spread(figure: Figure, count: int) -> Array:
    """(count, 2) points, even along the figure."""
    shares = np.linspace(0.0, 1.0, 257)
    along, lengths = [], np.cumsum([0.0, *(piece.length for piece in figure.pieces)])
    for piece in figure.pieces:
        chords = np.hypot(*np.diff(piece.at(shares), axis=0).T)
        along.append(np.concatenate([[0.0], np.cumsum(chords)]) / np.sum(chords))
    wanted = np.linspace(0.0, lengths[-1], count)
    which = np.clip(np.searchsorted(lengths, wanted, side="right") - 1, 0, len(figure.pieces) - 1)
    points = np.empty((count, 2))
    for k, piece in enumerate(figure.pieces):
        mine = which == k
        within = (wanted[mine] - lengths[k]) / piece.length
        points[mine] = piece.at(np.interp(within, along[k], shares))
    return points


def _short(mm: float) -> float:
    return float(round(mm, DECIMALS)) + 0.0
