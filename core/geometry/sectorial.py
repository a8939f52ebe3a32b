"""Sectorial coordinate, shear centre and warping constant of a section of thin rectangles.

Source: V. Z. Vlasov, Thin-Walled Elastic Beams (2nd ed. 1959, from memory), with the finite thickness kept:
areas are those of the rectangles, walls also warp through their thickness (secondary warping, as in any
treatise on angles and cruciforms), and a sharp corner is cut short by the warping (CORNER).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array
from core.geometry.section import Rectangle, Section

# In Saint-Venant's torsion of a right-angled corner the warping of one leg is offset against the other's by
# this times thickness squared, as if the middle line cut the corner. Laplace's equation; a test solves it.
CORNER = 0.21


@dataclass(frozen=True)
class Sectorial:
    """Sectorial coordinate of a section about its shear centre, mean zero.

    omega : (walls, 4) the coordinate on each wall's rectangle as c0 + c1 s + c2 n + c3 s n, s along the wall
        and n across it from the rectangle's middle, mm^2, mm, mm, 1
    """

    shear_centre_mm: tuple[float, float]
    omega: Array
    iw_mm6: float
    j_mm4: float


def sectorial(section: Section) -> Sectorial:
    """Shear centre, normalised sectorial coordinate, warping and torsion constants."""
    centre, along, across, sides = _frames(section)
    area = sides[:, 0] * sides[:, 1]
    zero = np.zeros(len(area))
    weight = area[:, None] * np.column_stack(
        [zero + 1.0, sides[:, 0] ** 2 / 12.0, sides[:, 1] ** 2 / 12.0, np.prod(sides, axis=1) ** 2 / 144.0]
    )

    def integral(f: Array, g: Array) -> float:
        return float(np.sum(weight * f * g))

    def centred(field: Array) -> Array:
        mean = np.sum(area * field[:, 0]) / area.sum()
        return np.asarray(field - np.array([mean, 0.0, 0.0, 0.0]))

    y, z = (centred(np.column_stack([centre[:, i], along[:, i], across[:, i], zero])) for i in (0, 1))
    about_origin = centred(
        np.column_stack(
            [_swept(section, centre), _cross(centre, along), (centre * along).sum(axis=1), zero + 1.0]
        )
    )
    # Moving the pole by (a, b) changes omega by b y - a z; no moment of omega may be left about y or z.
    moments = np.array([[integral(p, q) for q in (z, -y)] for p in (y, z)])
    left = np.array([integral(about_origin, p) for p in (y, z)])
    a, b = np.linalg.solve(moments, left)
    omega = about_origin - a * z + b * y
    nodes = np.array(section.nodes_mm)
    lengths = [np.hypot(*(nodes[w.end] - nodes[w.start])) for w in section.walls]
    torsion = sum(length * w.thickness_mm**3 for length, w in zip(lengths, section.walls, strict=True)) / 3.0
    return Sectorial((float(a), float(b)), omega, integral(omega, omega), float(torsion))


def patch_integral(section: Section, sector: Sectorial, depth_mm: float) -> float:
    """Integral of omega dA over the strips of this depth along the free edges of the worked walls, mm^4."""
    _, _, _, sides = _frames(section)
    total = 0.0
    for index in section.worked_walls:
        length, thickness = sides[index]
        middle = 0.5 * (length - depth_mm)
        total += thickness * depth_mm * (sector.omega[index, 0] + sector.omega[index, 1] * middle)
    return float(total)


def _frames(section: Section) -> tuple[Array, Array, Array, Array]:
    """Each wall's rectangle: middle, direction along and across, length with thickness, (w, 2) each."""
    nodes = np.array(section.nodes_mm)
    start, end = nodes[[w.start for w in section.walls]], nodes[[w.end for w in section.walls]]
    along = (end - start) / np.hypot(*(end - start).T)[:, None]
    parts = [_rectangle_under(section, 0.5 * (a + b)) for a, b in zip(start, end, strict=True)]
    sides = np.array([(p.y1 - p.y0, p.z1 - p.z0) for p in parts])
    length, thickness = (np.abs(along) * sides).sum(axis=1), (np.abs(along) * sides[:, ::-1]).sum(axis=1)
    across = np.column_stack([-along[:, 1], along[:, 0]])
    return np.array([p.centre_mm for p in parts]), along, across, np.column_stack([length, thickness])


def _rectangle_under(section: Section, point: Array) -> Rectangle:
    return next(
        part
        for part in section.rectangles
        if part.y0 <= point[0] <= part.y1 and part.z0 <= point[1] <= part.z1
    )


def _swept(section: Section, centre: Array) -> Array:
    """(walls,) twice the area swept from the origin along the middle lines to each wall's middle, mm^2."""
    nodes = np.array(section.nodes_mm)
    at_node = np.zeros(len(nodes))
    arrives: dict[int, Array] = {}
    middle = np.zeros(len(section.walls))
    for i, wall in enumerate(section.walls):
        step = nodes[wall.end] - nodes[wall.start]
        direction = step / np.hypot(*step)
        before = arrives.setdefault(wall.start, -direction)
        turn = float(before[0] * direction[1] - before[1] * direction[0])
        joined = sum(wall.start in (w.start, w.end) for w in section.walls)
        cut = -CORNER * wall.thickness_mm**2 * turn if joined == 2 else 0.0
        begin = at_node[wall.start] + cut
        middle[i] = begin + _cross(nodes[wall.start], centre[i])
        at_node[wall.end] = begin + _cross(nodes[wall.start], nodes[wall.end])
        arrives[wall.end] = direction
    return middle


def _cross(p: Array, q: Array) -> Array:
    return np.asarray(p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0])
