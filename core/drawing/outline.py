"""The outline of a template: its edge, two sides square to its back, and a straight back.

On the drawing x goes along the back and y from the edge to the back, so that the edge lies below; it is
turned, never mirrored. As the line turns by half a turn at most, the edge is a graph over x, and neither a
side nor the back can cross it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, pi

import numpy as np
from numpy.typing import NDArray

from core.drawing.polyline import fine_places
from core.errors import InputError
from core.kinds.template_edge import TemplateEdge

Array = NDArray[np.float64]
CHORD_ERROR_MM = 0.01  # farthest that the edge as drawn lies from the exact one
BODY_MM = 60.0  # from the highest place of the edge to the back (common practice, no source)
LEAST_SHOULDER_MM = 0.5  # an end that leans out by less has no shoulder
HALF_TURN = pi * (1.0 + 1e-6)
TICK_MM, NUMBER_MM = 8.0, 12.0  # a mark's length, and how far from the edge its number stands


@dataclass(frozen=True)
class Outline:
    """On the drawing, mm, lower left corner at 0.

    edge : (k, 2) from left to right; whole : (m, 2) closed, begins with the edge; ticks : (n, 2, 2) of the
    marks, from the edge inwards; numbers : (n, 2) where their texts are centred
    """

    edge: Array
    whole: Array
    ticks: Array
    numbers: Array


def template_outline(edge: TemplateEdge) -> Outline:
    """The template to be cut. Raises InputError, ``side``, for a line that turns by more than half a turn: no
    rigid template can be laid to it."""
    places = fine_places(edge.points_mm, edge.from_mm, edge.to_mm, CHORD_ERROR_MM)
    _check_turn(edge, places)
    axes = _axes(edge)
    line, into = edge.points_mm(places) @ axes, edge.into_template(places[[0, -1]]) @ axes
    if not edge.on_left:  # the line runs from right to left
        line, into = line[::-1], into[::-1]
    whole = np.vstack([line, _beyond(line, into)])
    marked = np.array([mark.at_mm for mark in edge.marks])
    at, inwards = edge.points_mm(marked) @ axes, edge.into_template(marked) @ axes
    low = np.min(whole, axis=0)
    feet = at - low
    ticks = np.stack([feet, feet + TICK_MM * inwards], axis=1)
    return Outline(line - low, whole - low, ticks, feet + NUMBER_MM * inwards)


def _check_turn(edge: TemplateEdge, places: Array) -> None:
    turn = float(np.ptp(edge.curve.heading_rad(places)))
    if turn > HALF_TURN:
        told = f"the line turns by {degrees(turn):.0f}°"
        wanted = f"{told}, and a template can be laid to half a turn, 180°, at most"
        raise InputError("side", edge.name, wanted)


def _axes(edge: TemplateEdge) -> Array:
    """(2, 2) columns x and y of the drawing: y into the template at the level heading."""
    along = np.array([np.cos(edge.level_rad), np.sin(edge.level_rad)])
    x = along if edge.on_left else -along
    return np.column_stack([x, [-x[1], x[0]]])


def _beyond(line: Array, into: Array) -> Array:
    """(2 to 4, 2) from the right end of the edge round by the back to its left end."""
    back = float(np.max(line[:, 1])) + BODY_MM
    right, left = _shoulder(line[-1], into[-1], 1.0), _shoulder(line[0], into[0], -1.0)
    corners = [[right[-1, 0], back], [left[-1, 0], back]]
    return np.vstack([right[1:], corners, left[:0:-1]])


def _shoulder(end: Array, into: Array, out: float) -> Array:
    """(1 or 2, 2) an end of the edge and, where it leans out, the place square to the edge from it; out : +1
    at the right end, -1 at the left."""
    leans = out * BODY_MM * into[0] > LEAST_SHOULDER_MM
    return np.stack([end, end + BODY_MM * into] if leans else [end])
