"""Dishes and flanges for the benchmark: what is wanted, and what each part and its metal are really like.

Caps of spheres of radius 150 to 800 mm up to the hemisphere (domed from the middle up to 60 degrees, where
the middle would have to double its area beyond), in 6 to 20 rings, read on 1 to 8 meridians. They are as
many as it takes for strokes between wide rings to leave half of the tolerance at most; where twenty leave
more, the tolerance goes by that. Where the rim stands upright they are read against a layout line, as the
job asks for.
Rims, holes, saddles and mixed outlines turned by 30 to 90 degrees, 10 to 30 mm high, all from a flat 10
degrees. Metal as that of the drawn bars.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from draws import BITES, Drawn

from core.geometry.blank import Blank
from core.geometry.disc_to_dish import RingedDisc
from core.geometry.meridian import spherical
from core.kinds.methods import SINGLE
from core.simulate import draw_truth

Document = dict[str, Any]
PATCH_MM, DEPTH_MM, STROKE = 20.0, 10.0, 0.004
MUCH = 0.15  # strain asked for from which a dish has limits of its own, so that it can be made at all
POISSON = 0.33
LEFT = 0.5  # of the tolerance, that wide rings may leave
UPRIGHT_DEG = 70.0  # of the rim, from which the job warns that a rigid template wedges there
RINGS = (6, 20)
MOST_MERIDIANS = 8
FEW_SECTORS = 24
TOOL: Document = {
    "patch_length": f"{PATCH_MM} mm",
    "patch_depth": f"{DEPTH_MM} mm",
    "strain_per_stroke": STROKE,
    "bites": BITES,
}


def drawn_sheets(kind: str, n: int, seed: int) -> list[Drawn]:
    """n drawn parts of this kind; a longer list begins with a shorter one of the same seed."""
    return [KINDS[kind](np.random.default_rng([seed, i]), 1000 * seed + i) for i in range(n)]


def _evenly(rng: np.random.Generator, least: float, most: float) -> float:
    """Evenly on a logarithmic scale, to the nearest 5."""
    return float(5.0 * np.round(np.exp(rng.uniform(np.log(least), np.log(most))) / 5.0))


def _dish(rng: np.random.Generator, seed: int) -> Drawn:
    method = str(rng.choice(list(SINGLE)))
    radius = _evenly(rng, 150.0, 800.0)
    steepest = 60.0 if method == "dome from the middle" else 90.0
    flattest = 40.0 if radius < 250.0 else 20.0  # six rings want a disc of a certain size
    angle = float(np.round(rng.uniform(flattest, steepest)))
    blank = Blank(spherical(radius, angle_rad=np.radians(angle)), SINGLE[method])
    thickness = float(rng.choice([1.0, 1.5, 2.0]))
    fewest, most = RINGS[0], min(RINGS[1], int(blank.radius_mm / DEPTH_MM))
    across = 2.0 * blank.meridian.rim_mm[0]
    tolerance = 1.0 if across < 400.0 else 1.5 if across < 800.0 else 2.0
    while fewest < most and _wide_mm(blank, fewest, thickness) > LEFT * tolerance:
        fewest += 1
    rings = int(rng.integers(fewest, most + 1))
    tolerance = float(max(tolerance, np.ceil(_wide_mm(blank, rings, thickness) / LEFT * 2.0) / 2.0))
    asked = float(np.abs(blank.hoop_strain(np.array([0.0, blank.meridian.length_mm]))).max())
    document: Document = {
        "name": f"Dish {seed}",
        "kind": "dish",
        "shape": {"radius": f"{radius} mm", "angle": f"{angle} deg"},
        "method": method,
        "thickness": f"{thickness} mm",
        "pitch": f"{blank.radius_mm / rings * (1.0 - 1e-6):.4f} mm",
        "material": "aluminium 1050A-O",
        "tool": TOOL,
        "template": "layout line" if angle > UPRIGHT_DEG else str(rng.choice(["inside", "outside"])),
        "gauge": {"name": "depth rod", "step": "0.1 mm", "repeatability": "0.05 mm", "largest": "300 mm"},
        "tolerance": f"{tolerance} mm",
    }
    if asked > MUCH:
        document["limits"] = {"strain_total": 0.8, "strain_per_pass": round(max(0.03, asked / 5.0), 3)}
    truth = draw_truth(rng, BITES)
    return Drawn(method, document, truth, seed, 1, int(rng.integers(1, MOST_MERIDIANS + 1)))


def _wide_mm(blank: Blank, rings: int, thickness: float) -> float:
    """What strokes that go over evenly between so many rings leave by themselves, of which the job warns."""
    disc = RingedDisc(blank, np.linspace(0.0, blank.radius_mm, rings + 1), thickness, POISSON)
    return abs(disc.wide_rings_mm()[0])


def _flange(rng: np.random.Generator, seed: int) -> Drawn:
    form = str(rng.choice(list(OUTLINES)))
    height = float(np.round(rng.uniform(10.0, 30.0)))
    outline, length = OUTLINES[form](rng, height)
    angle = float(np.round(rng.uniform(30.0, 90.0)))
    document: Document = {
        "name": f"Flange {seed}",
        "kind": "flange",
        "outline": outline,
        "height": f"{height} mm",
        "angle": f"{angle} deg",
        "start_angle": "10 deg",
        "inside_radius": "3 mm",
        "thickness": f"{rng.choice([1.0, 1.5])} mm",
        "pitch": f"{max(25.0, float(np.ceil(length / FEW_SECTORS)))} mm",
        "material": "aluminium 1050A-O",
        "tool": TOOL,
        "template": "square",
        "gauge": "dial",
        "tolerance": "0.5 mm",
    }
    return Drawn(form, document, draw_truth(rng, BITES), seed, 2 if form == "mixed" else 1)


def _bend(rng: np.random.Generator, height: float) -> float:
    """A radius at which the edge changes by an eighth at most."""
    return _evenly(rng, max(8.0 * height, 100.0), 350.0)


def _rim(rng: np.random.Generator, height: float) -> tuple[Document, float]:
    radius = _bend(rng, height)
    return {"rim": f"{2.0 * radius} mm"}, 2.0 * np.pi * radius


def _hole(rng: np.random.Generator, height: float) -> tuple[Document, float]:
    radius = _bend(rng, height)
    return {"hole": f"{2.0 * radius} mm"}, 2.0 * np.pi * radius


def _saddle(rng: np.random.Generator, height: float) -> tuple[Document, float]:
    radius = _bend(rng, height)
    arc, straight = _part_turn(rng, radius), _evenly(rng, 60.0, 200.0)
    return _pieces([(straight, None), (arc, -radius), (straight, None)])


def _mixed(rng: np.random.Generator, height: float) -> tuple[Document, float]:
    convex, concave = _bend(rng, height), _bend(rng, height)
    middle = (_evenly(rng, 60.0, 200.0), None)
    return _pieces([(_part_turn(rng, convex), convex), middle, (_part_turn(rng, concave), -concave)])


def _part_turn(rng: np.random.Generator, radius: float) -> float:
    return float(np.round(radius * rng.uniform(0.7, 1.5), -1))


def _pieces(segments: list[tuple[float, float | None]]) -> tuple[Document, float]:
    return {"segments_mm": [list(piece) for piece in segments]}, sum(length for length, _ in segments)


OUTLINES: dict[str, Callable[[np.random.Generator, float], tuple[Document, float]]] = {
    "rim": _rim,
    "hole": _hole,
    "saddle": _saddle,
    "mixed": _mixed,
}
KINDS: dict[str, Callable[[np.random.Generator, int], Drawn]] = {"dish": _dish, "flange": _flange}
