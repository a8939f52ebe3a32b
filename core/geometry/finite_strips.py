"""A thin-walled section cut into strips for waves along the bar.

Each strip is straight across in its plane and cubic out of it; one wave number at a time, as walls that are
membranes and plates.

Source: Y. K. Cheung, Finite Strip Method in Structural Analysis (1976, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from core.geometry.line import Array
from core.geometry.section import Section
from core.geometry.wall_bending import GAUSS, cubics

PIECES = 8  # strips in a wall, and on either side of the edge of a patch


@dataclass(frozen=True)
class Strips:
    """A section in strips.

    nodes : (k, 2) y and z, mm; pairs : the two nodes of each strip; struck : whether it lies in the patch
    swept : (k,) twice the area swept from the origin along the walls, mm^2
    """

    nodes: Array
    pairs: tuple[tuple[int, int], ...]
    struck: tuple[bool, ...]
    swept: Array


def cut_up(section: Section, depth_mm: float) -> Strips:
    """The walls cut up, with a cut at the patch's inner edge."""
    places = [np.array(node) for node in section.nodes_mm]
    swept = dict.fromkeys(range(len(places)), 0.0)
    pairs, struck = [], []
    for index, wall in enumerate(section.walls):
        start, step = places[wall.start], places[wall.end] - places[wall.start]
        length = float(np.hypot(*step))
        edge = max(1.0 - depth_mm / length, 0.0) if index in section.worked_walls else 1.0
        cuts = np.unique(np.concatenate([np.linspace(0, edge, PIECES + 1), np.linspace(edge, 1, PIECES + 1)]))
        numbers = [wall.start, *range(len(places), len(places) + len(cuts) - 2), wall.end]
        places += [start + share * step for share in cuts[1:-1]]
        for number, share in zip(numbers[1:], cuts[1:], strict=True):
            swept[number] = swept[wall.start] + share * float(start[0] * step[1] - start[1] * step[0])
        pairs += list(pairwise(numbers))
        struck += [bool(share >= edge - 1e-9) for share in cuts[:-1]]
    return Strips(
        np.array(places), tuple(pairs), tuple(struck), np.array([swept[i] for i in range(len(places))])
    )


def powers(strips: Strips, thickness: float, poisson: float, coupling: float) -> tuple[Array, Array]:
    """Stiffness (5, 4k, 4k) and load (2, 4k) of unit Young's modulus by powers of the wave number.

    Unknowns of a node: along the bar (as a sine), along y and z, turn (as cosines). coupling is the ratio by
    which walls pull in across; a beam has none.
    """
    size = 4 * len(strips.nodes)
    stiffness, load = np.zeros((5, size, size)), np.zeros((2, size))
    membrane = thickness / (1.0 - coupling**2)
    bending, shear = membrane * thickness**2 / 12.0, 0.5 * thickness / (1.0 + poisson)
    law = np.zeros((6, 6))
    law[:2, :2] = membrane * np.array([[1.0, coupling], [coupling, 1.0]])
    law[3:5, 3:5] = bending * np.array([[1.0, coupling], [coupling, 1.0]])
    law[2, 2], law[5, 5] = shear, shear * thickness**2 / 3.0
    for (i, j), struck in zip(strips.pairs, strips.struck, strict=True):
        step = strips.nodes[j] - strips.nodes[i]
        width = float(np.hypot(*step))
        turned = _turned(step / width)
        at = np.concatenate([4 * i + np.arange(4), 4 * j + np.arange(4)])
        for place, weight in zip(*GAUSS, strict=True):
            strain = _strains(0.5 * (place + 1.0), width) @ turned
            w = 0.5 * weight * width
            for p in range(3):
                for q in range(3):
                    stiffness[p + q][np.ix_(at, at)] += w * strain[p].T @ law @ strain[q]
            if struck:
                load[:, at] -= w * np.einsum("a,pab->pb", law[0], strain[:2])
    return stiffness, load


def _turned(direction: Array) -> Array:
    """(8, 8) from two nodes' unknowns to a strip's own: along the bar and across, off it and turn."""
    own = np.zeros((8, 8))
    for node in (0, 1):
        own[node, 4 * node] = 1.0
        own[2 + node, 4 * node + 1 : 4 * node + 3] = direction
        own[4 + 2 * node, 4 * node + 1 : 4 * node + 3] = (-direction[1], direction[0])
        own[5 + 2 * node, 4 * node + 3] = 1.0
    return own


def _strains(u: float, width: float) -> Array:
    """(3, 6, 8) at share u: stretch along, across, shear, curvature along, across, twist, by powers of k."""
    deflection, slope, curvature = cubics(u, width)
    linear, rate = np.array([1.0 - u, u]), np.array([-1.0, 1.0]) / width
    strain = np.zeros((3, 6, 8))
    strain[1, 0, :2], strain[0, 1, 2:4] = linear, rate
    strain[0, 2, :2], strain[1, 2, 2:4] = rate, -linear
    strain[2, 3, 4:], strain[0, 4, 4:], strain[1, 5, 4:] = -deflection, curvature, -slope
    # the twist's energy is 2 D (1 - nu) slope^2 = G t^3/3 slope^2
    return strain


def at_wave(by_power: tuple[Array, Array], k: float) -> tuple[Array, Array]:
    """Stiffness (4k, 4k) and load (4k,) at a wave number, 1/mm."""
    stiffness, load = by_power
    return np.tensordot(k ** np.arange(5), stiffness, 1), np.tensordot(k ** np.arange(2), load, 1)
