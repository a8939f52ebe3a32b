"""What a stroke does to the heel beside itself, beyond what beam theory says.

Near the patch the walls shear, bend and pull in; the heel feels it over some flange widths. Every wave along
the bar is solved by itself in finite strips, and the same wave of a beam (bending, and torsion where the
section warps) is taken off.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.finite_strips import Strips, at_wave, cut_up, powers
from core.geometry.line import Array
from core.geometry.section import Section

PERIOD = 12.0  # of the waves, in sizes of the section: strokes so far apart do not meet
SHORTEST = 1.5  # waves on the patch's length, the shortest


@dataclass(frozen=True)
class BesideStroke:
    """Movement of the heel per unit shortening strain at a distance either way from the stroke.

    at_mm, in_plane_mm, out_of_plane_mm : (k,); beyond the last the movement stays as it is
    """

    at_mm: Array
    in_plane_mm: Array
    out_of_plane_mm: Array

    def movement(self, beyond_mm: ArrayLike) -> tuple[Array, Array]:
        """(...) in plane (along y) and out of plane (along z) at these distances, mm per unit strain."""
        away = np.abs(np.asarray(beyond_mm, dtype=float))
        inside, out = (np.interp(away, self.at_mm, f) for f in (self.in_plane_mm, self.out_of_plane_mm))
        return np.asarray(inside), np.asarray(out)


@lru_cache(maxsize=16)
def beside_stroke(
    section: Section, patch_length_mm: float, patch_depth_mm: float, poisson: float, warps: bool
) -> BesideStroke:
    """The local movement of one section and patch; a stroke far from the bar's ends."""
    strips = cut_up(section, patch_depth_mm)
    plate = powers(strips, section.thickness_mm, poisson, poisson)
    beam = powers(strips, section.thickness_mm, poisson, 0.0)
    size = float(max(np.ptp(strips.nodes, axis=0)))
    period = PERIOD * size
    at = np.linspace(0.0, 0.5 * period, 40 * int(PERIOD) + 1)
    moved = np.zeros((2, len(at)))
    for m in range(1, int(np.ceil(SHORTEST * period / patch_length_mm))):
        k = 2.0 * np.pi * m / period
        stiffness, load = at_wave(plate, k)
        whole = np.linalg.solve(stiffness, load)
        shapes = _rigid(strips, k)[:, : 4 if warps else 3]
        stiffness, load = at_wave(beam, k)
        rigid = shapes @ np.linalg.solve(shapes.T @ stiffness @ shapes, shapes.T @ load)
        wave = 4.0 / period * np.sin(0.5 * k * patch_length_mm) / k
        heel = _heel(strips, np.asarray(whole - rigid), np.asarray(k * poisson * whole))
        moved += wave * heel[:, None] * np.cos(k * at)
    return BesideStroke(at, moved[0], moved[1])


def _rigid(strips: Strips, k: float) -> Array:
    """(4k, 4) ways to move without change of shape: along the bar, y, z, and a turn with its warping."""
    y, z = strips.nodes.T
    ways = np.zeros((len(y), 4, 4))
    ways[:, 0, 0] = 1.0
    ways[:, 1, 1], ways[:, 0, 1] = 1.0, k * y
    ways[:, 2, 2], ways[:, 0, 2] = 1.0, k * z
    ways[:, :, 3] = np.column_stack([k * strips.swept, -z, y, np.ones(len(y))])
    return ways.reshape(-1, 4)


def _heel(strips: Strips, moved: Array, pull: Array) -> Array:
    """(2,) movement of the heel, the outer corner: its node's, its turn's, and the wall's own pulling in."""
    node = int(np.argmin(np.hypot(*strips.nodes.T)))
    y, z = strips.nodes[node]
    _, v, w, turn = moved[4 * node : 4 * node + 4]
    thinner = pull[4 * node]  # Poisson's ratio times the stretch along the bar
    return np.array([v + turn * z + thinner * y, w - turn * y + thinner * z])
