"""Exact plane geometry of the simulated bar: curvature on fine cells, integrated without approximation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
CELL_MM = 2.0
ASLANT_RAD = np.pi / 3.0
"""No gauge is held more aslant to a bar; common practice, no source."""
TURNED_RAD = np.radians(20.0)
MISSED_MM = 1e-3


class Line(Protocol):
    """The wanted line: arc length from one end in mm, heading in rad, left turn positive."""

    @property
    def length_mm(self) -> float:
        """Arc length from end to end."""
        ...

    def heading_rad(self, s_mm: Array) -> Array:
        """(n,) heading at these arc lengths."""
        ...

    def point_mm(self, s_mm: Array) -> Array:
        """(n, 2) points at these arc lengths."""
        ...


@dataclass(frozen=True)
class Against:
    """A bar held against points of a template.

    deviation_mm : (r,) along the template's outward (right) normal; met_mm : (r,) where on the bar
    the normal meets it, outside 0..length where it passes the bar's end; motion : (r, 3) mm per mm
    of shift along x, along y, and per rad of rotation about ``pivot``; aslant : (r,) where the bar lies so
    far across that nothing can be read
    """

    deviation_mm: Array
    met_mm: Array
    motion: Array
    aslant: NDArray[np.bool_]


class Curve:
    """A plane curve of piecewise constant curvature, going straight on beyond both ends.

    edges_mm : (n+1,) arc length at the cells' ends; curvature : (n,) 1/mm. Starts at the origin along x.
    aside_mm : (n+1,) how far the line that is measured lies to the left of this curve (none: on it)
    """

    def __init__(self, edges_mm: Array, curvature: Array, aside_mm: Array | None = None) -> None:
        far = float(edges_mm[-1] - edges_mm[0])
        edges = np.concatenate([[edges_mm[0] - far], edges_mm, [edges_mm[-1] + far]])
        self.edges_mm: Array = edges
        self.curvature: Array = np.concatenate([[0.0], curvature, [0.0]])
        steps = np.diff(edges)
        turned = np.concatenate([[0.0], np.cumsum(self.curvature * steps)])
        self.heading_rad: Array = turned
        moved = _chords(turned[:-1], self.curvature, steps)
        points = np.vstack([np.zeros((1, 2)), np.cumsum(moved, axis=0)])
        self.points_mm: Array = points - points[1]
        aside = np.zeros(len(edges_mm)) if aside_mm is None else aside_mm
        slopes = np.diff(aside) / np.diff(edges_mm)
        self.slopes: Array = np.concatenate([slopes[:1], slopes, slopes[-1:]])
        self.aside_mm: Array = np.concatenate([[aside[0] - far * slopes[0]], aside])

    def at(self, s_mm: Array) -> tuple[Array, Array]:
        """Point (r, 2) and heading (r,) at arc lengths s (r,)."""
        cell = np.clip(np.searchsorted(self.edges_mm, s_mm, side="right") - 1, 0, len(self.curvature) - 1)
        beyond = s_mm - self.edges_mm[cell]
        start = self.heading_rad[cell]
        kappa = self.curvature[cell]
        heading = start + kappa * beyond
        aside = self.aside_mm[cell] + self.slopes[cell] * beyond
        points = self.points_mm[cell] + _chords(start, kappa, beyond) - aside[:, None] * normals(heading)
        return points, heading + np.arctan(self.slopes[cell] / (1.0 - kappa * aside))


def _chords(heading: Array, curvature: Array, length: Array) -> Array:
    """(n, 2) displacement along arcs that begin with these headings."""
    half = 0.5 * curvature * length
    chord = length * np.sinc(half / np.pi)
    mean = heading + half
    return np.stack([chord * np.cos(mean), chord * np.sin(mean)], axis=-1)


def normals(heading: Array) -> Array:
    """(n, 2) outward (right) unit normals of lines with these headings."""
    return np.stack([np.sin(heading), -np.cos(heading)], axis=-1)


def _tangents(heading: Array) -> Array:
    """(n, 2) unit vectors along these headings."""
    return np.stack([np.cos(heading), np.sin(heading)], axis=-1)


def placed(points: Array, pivot: Array, pose: Array) -> Array:
    """Points turned by pose[2] about the pivot, then shifted by pose[:2]."""
    c, s = np.cos(pose[2]), np.sin(pose[2])
    moved: Array = (points - pivot) @ np.array([[c, s], [-s, c]]) + pivot + pose[:2]
    return moved


def registered(curve: Curve, line: Line, s_mm: Array, mark_mm: float | None = None) -> tuple[Array, Array]:
    """Pivot and pose that lay the bar's mark (none: mid-length) on the line's, turned as its points at s fit
    best."""
    middle = np.array([0.5 * line.length_mm if mark_mm is None else mark_mm])
    pivot, mark = curve.at(middle)[0][0], line.point_mm(middle)[0]
    a, b = curve.at(s_mm)[0] - pivot, line.point_mm(s_mm) - mark
    turn = np.arctan2(float(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])), float(np.sum(a * b)))
    return pivot, np.array([*(mark - pivot), turn])


def held_against(curve: Curve, line: Line, s_mm: Array, pivot: Array, pose: Array) -> Against:
    """Where the normals of the line at s meet the placed bar, and how that answers to a rigid motion.

    Where the bar lies more than ASLANT_RAD across, its normal would pass it by: the direction leans towards
    the bar's own, to lie along it at a half turn.
    """
    origin, heading = line.point_mm(s_mm), line.heading_rad(s_mm)
    facing = curve.at(s_mm)[1] + pose[2]
    across = facing - heading
    over = np.maximum(np.abs(across) - ASLANT_RAD, 0.0)
    heading = heading + np.sign(across) * np.minimum(1.5 * over, np.abs(across))
    outward, tangent = normals(heading), _tangents(heading)
    met = np.array(s_mm, dtype=float)
    low, high = curve.edges_mm[0], curve.edges_mm[-1]
    for _ in range(30):
        point, turned = curve.at(met)
        point, turned = placed(point, pivot, pose), turned + pose[2]
        along = np.sum((point - origin) * tangent, axis=-1)
        slope = np.cos(turned - heading)
        step = along / np.where(np.abs(slope) < 0.05, 0.05, slope)
        met = np.minimum(np.maximum(met - step, low), high)
        if float(np.max(np.abs(step))) < 1e-9:
            break
    point, turned = curve.at(met)
    point, turned = placed(point, pivot, pose), turned + pose[2]
    lost = np.abs(np.sum((point - origin) * tangent, axis=-1)) > MISSED_MM
    lost |= (over > 0.0) | (np.abs(turned - facing) > TURNED_RAD)
    for i in np.flatnonzero(lost):
        point[i], turned[i] = _followed(curve, s_mm[i], pivot, pose, origin[i], tangent[i])
    deviation = np.sum((point - origin) * outward, axis=-1)
    own = normals(turned) / np.cos(turned - heading)[:, None]
    arm = point - pivot - pose[:2]
    lever = own[:, 1] * arm[:, 0] - own[:, 0] * arm[:, 1]
    swings = np.where(over > 0.0, -1.5 * deviation * np.tan(turned - heading), 0.0)
    return Against(deviation, met, np.column_stack([own, lever + swings]), lost)


def _followed(
    curve: Curve, s_mm: float, pivot: Array, pose: Array, origin: Array, tangent: Array
) -> tuple[Array, float]:
    """Point (2,) and heading where a line square to ``tangent`` meets the bar as far as it has turned little
    from its station, then straight on."""
    heading = curve.at(np.array([s_mm]))[1][0]
    inside = np.abs(curve.heading_rad - heading) <= TURNED_RAD
    here = int(np.clip(np.searchsorted(curve.edges_mm, s_mm), 1, len(inside) - 1))
    gone = np.flatnonzero(~inside)
    first = max(gone[gone < here], default=-1) + 1
    last = min(gone[gone >= here], default=len(inside)) - 1
    places = np.union1d(curve.edges_mm[first : last + 1], [s_mm])
    points, turned = curve.at(places)
    points = placed(points, pivot, pose)
    along = (points - origin) @ tangent
    k = int(np.clip(np.searchsorted(along, 0.0), 0, len(places) - 1))
    ahead = _tangents(turned[k : k + 1] + pose[2])[0]
    return points[k] - ahead * (along[k] / float(ahead @ tangent)), float(turned[k] + pose[2])
