"""Torsion with warping of thin-walled open sections (Vlasov), as a stroke on one flange causes it.

Source: V. Z. Vlasov, Thin-Walled Elastic Beams (2nd ed. 1959, from memory); closed forms of Z and channel
in any handbook of steel sections. Everything is taken on the middle line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array
from core.geometry.section import Section

NEGLIGIBLE = 1e-9  # share of area * size^4 below which a section does not warp at all


@dataclass(frozen=True)
class Warping:
    """Twist that comes with a stroke of unit shortening strain, and what it does to the heel line.

    shear_centre_mm : (y, z); iw_mm6 : warping constant; j_mm4 : torsion constant
    decay_mm : 1/k, k = sqrt(G J/(E Iw)); twist fades over this length
    kink_per_strain : change of the twist rate at the stroke, rad/mm per unit shortening strain
    heel_lever_mm : the heel line moves by this times the twist in the plane of curvature (along y)
    heel_lever_out_mm : the same out of plane (along z)
    """

    shear_centre_mm: tuple[float, float]
    iw_mm6: float
    j_mm4: float
    decay_mm: float
    kink_per_strain: float
    heel_lever_mm: float
    heel_lever_out_mm: float

    def twist_per_strain(self, at_mm: ArrayLike, strokes_mm: ArrayLike, length_mm: float) -> Array:
        """(r, n) twist at points (r,) by a stroke at each of (n,) places, rad per unit shortening strain.

        Twist is from y towards z. The bar is free to warp at both ends; the twist is measured from its
        ends, a turn of the bar as a whole being no matter of shape.
        """
        at = np.asarray(at_mm, dtype=float)[:, None]
        strokes = np.asarray(strokes_mm, dtype=float)[None, :]
        before = np.minimum(at, strokes) / self.decay_mm
        beyond = (length_mm - np.maximum(at, strokes)) / self.decay_mm
        whole = length_mm / self.decay_mm
        # sinh(before) sinh(beyond)/sinh(whole), written so that a long bar does not overflow
        fade = np.exp(before + beyond - whole) / 2.0
        ratio = fade * np.expm1(-2.0 * before) * np.expm1(-2.0 * beyond) / -np.expm1(-2.0 * whole)
        return np.asarray(-self.kink_per_strain * self.decay_mm * ratio)


@dataclass(frozen=True)
class Sectorial:
    """Sectorial coordinate of a section about its shear centre, mean zero.

    omega_mm2 : (nodes,) value at the nodes, linear along each wall
    """

    shear_centre_mm: tuple[float, float]
    omega_mm2: Array
    iw_mm6: float
    j_mm4: float


def sectorial(section: Section) -> Sectorial:
    """Shear centre, normalised sectorial coordinate, warping and torsion constants."""
    nodes = np.array(section.nodes_mm)
    area = _integral(section, np.ones(len(nodes)), np.ones(len(nodes)))

    def centred(values: Array) -> Array:
        return np.asarray(values - _integral(section, values, np.ones(len(nodes))) / area)

    y, z = centred(nodes[:, 0]), centred(nodes[:, 1])
    about_origin = centred(_swept(section, nodes))
    # Moving the pole by (a, b) changes omega by b y - a z; no moment of omega may be left about y or z.
    moments = np.array([[_integral(section, p, q) for q in (z, -y)] for p in (y, z)])
    left = np.array([_integral(section, about_origin, p) for p in (y, z)])
    # A flat bar leaves the pole's place along it open; least squares takes the nearest to the heel.
    a, b = np.linalg.lstsq(moments, left, rcond=1e-10)[0]
    omega = about_origin - a * z + b * y
    lengths = [np.hypot(*(nodes[w.end] - nodes[w.start])) for w in section.walls]
    torsion = sum(length * w.thickness_mm**3 for length, w in zip(lengths, section.walls, strict=True)) / 3.0
    return Sectorial((float(a), float(b)), omega, _integral(section, omega, omega), float(torsion))


def warping(
    section: Section, patch_length_mm: float, patch_depth_mm: float, poisson: float
) -> Warping | None:
    """Twist from a stroke on the worked patches; None where the section or the stroke causes none."""
    sector = sectorial(section)
    scale = section.area_mm2 * max(np.ptp(np.array(section.nodes_mm), axis=0)) ** 4
    bimoment = _patch_integral(section, sector.omega_mm2, patch_depth_mm)
    if sector.iw_mm6 < NEGLIGIBLE * scale or abs(bimoment) < NEGLIGIBLE * scale:
        return None
    shear_over_young = 1.0 / (2.0 * (1.0 + poisson))
    return Warping(
        shear_centre_mm=sector.shear_centre_mm,
        iw_mm6=sector.iw_mm6,
        j_mm4=sector.j_mm4,
        decay_mm=float(np.sqrt(sector.iw_mm6 / (shear_over_young * sector.j_mm4))),
        kink_per_strain=patch_length_mm * bimoment / sector.iw_mm6,
        heel_lever_mm=sector.shear_centre_mm[1],
        heel_lever_out_mm=-sector.shear_centre_mm[0],
    )


def _swept(section: Section, nodes: Array) -> Array:
    """(nodes,) twice the area swept from the origin along the walls, mm^2."""
    omega = np.zeros(len(nodes))
    for wall in section.walls:
        (y0, z0), (y1, z1) = nodes[wall.start], nodes[wall.end]
        omega[wall.end] = omega[wall.start] + y0 * z1 - z0 * y1
    return omega


def _integral(section: Section, f: Array, g: Array) -> float:
    """Integral of f g dA for two quantities that are linear along each wall."""
    total = 0.0
    nodes = np.array(section.nodes_mm)
    for wall in section.walls:
        i, j = wall.start, wall.end
        area = np.hypot(*(nodes[j] - nodes[i])) * wall.thickness_mm
        total += area / 6.0 * (2 * f[i] * g[i] + f[i] * g[j] + f[j] * g[i] + 2 * f[j] * g[j])
    return float(total)


def _patch_integral(section: Section, omega: Array, depth_mm: float) -> float:
    """Integral of omega dA over the strips of this depth along the free edges of the worked walls.

    A strip that is deeper than the wall's middle line ends at the corner.
    """
    total = 0.0
    nodes = np.array(section.nodes_mm)
    for index in section.worked_walls:
        wall = section.walls[index]
        length = float(np.hypot(*(nodes[wall.end] - nodes[wall.start])))
        depth = min(depth_mm, length)
        slope = (omega[wall.end] - omega[wall.start]) / length
        total += wall.thickness_mm * depth * (omega[wall.end] - slope * depth / 2.0)
    return float(total)
