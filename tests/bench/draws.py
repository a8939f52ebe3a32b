"""Bars for the benchmark: what is wanted, and what each bar and its metal are really like.

Mixed sections, radii 0.6 to 6 m, S-shapes, tables of offsets, lengths 0.6 to 1.5 m; response unknown by
30 per cent, uneven by 10, scatter 12 per cent of a stroke, exponent 0.7 to 1.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from core.simulate import Truth, draw_truth

BITES = {"light": 0.4, "medium": 1.0, "heavy": 1.8}
SECTIONS: tuple[dict[str, Any], ...] = (
    {"shape": "angle", "worked": 40, "other": 40, "thickness": 1.5},
    {"shape": "angle", "worked": 30, "other": 20, "thickness": 2},
    {"shape": "channel", "web": 60, "flange": 30, "thickness": 1.5, "worked": "both"},
    {"shape": "channel", "web": 50, "flange": 25, "thickness": 1.5, "worked": "one"},
    {"shape": "Z", "web": 50, "flange": 30, "other_flange": 30, "thickness": 1.5},
    {"shape": "T", "depth": 30, "flange": 30, "thickness": 2},
    {"shape": "flat bar", "depth": 30, "thickness": 3},
)
TWISTING = ("Z", "one")
"""Sections that turn under their strokes: by linear torsion already 0.2 to 0.4 rad at a radius of 4 m over
900 mm, and theory ends soon after, so these bars are drawn shorter and flatter than the others."""
EVEN_LIMIT_RAD = 2.4
"""no bar turns by more than this: a rigid template could not be laid in"""


@dataclass(frozen=True)
class Drawn:
    """One part of the benchmark: job document, hidden truth, seed of its scatter and readings; meridians :
    on how many it is read."""

    form: str
    document: dict[str, Any]
    truth: Truth
    seed: int
    actions_forced: int
    meridians: int = 1


def meridian(turn: int) -> dict[str, float]:
    """What a round says of its meridian: eighths of a turn, one after another; at first nothing."""
    return {"at_deg": 45.0 * turn} if turn else {}


def benchmark_bars(n: int, seed: int) -> list[Drawn]:
    """n drawn bars; the same n and seed give the same bars, and a longer list begins with a shorter one."""
    return [_drawn(np.random.default_rng([seed, i]), 1000 * seed + i) for i in range(n)]


def _drawn(rng: np.random.Generator, seed: int) -> Drawn:
    form = str(rng.choice(["arc", "two radii", "S", "offsets"], p=[0.4, 0.2, 0.2, 0.2]))
    section = SECTIONS[int(rng.integers(len(SECTIONS)))]
    twists = section["shape"] in TWISTING or section.get("worked") in TWISTING
    length = float(np.round(rng.uniform(600.0, 900.0 if twists else 1500.0), -1))
    line = FORMS[form](rng, length, 4000.0 if twists else 600.0)
    document = {
        "name": f"{form} {seed}",
        "kind": "section",
        "line": line,
        "section": {k: f"{v} mm" if isinstance(v, int | float) else v for k, v in section.items()},
        "material": "aluminium 5754-O",
        "tool": {
            "patch_length": "20 mm",
            "patch_depth": "15 mm",
            "strain_per_stroke": 0.004,
            "bites": BITES,
        },
        "pitch": f"{rng.choice([30, 40, 50])} mm",
        "template": str(rng.choice(["inside", "outside"])),
        "gauge": "feeler leaves",
        "tolerance": "0.5 mm",
    }
    return Drawn(form, document, draw_truth(rng, BITES), seed, 2 if form == "S" else 1)


def _radius(rng: np.random.Generator, length_mm: float, least_mm: float) -> float:
    """Evenly on a logarithmic scale up to 6 m, as tight as a rigid template allows over this length."""
    tightest = max(least_mm, length_mm / EVEN_LIMIT_RAD)
    return float(np.round(np.exp(rng.uniform(np.log(tightest), np.log(6000.0))), -1))


def _arc(rng: np.random.Generator, length: float, least: float) -> dict[str, Any]:
    return {"radius": f"{_radius(rng, length, least)} mm", "length": f"{length} mm"}


def _two_radii(rng: np.random.Generator, length: float, least: float) -> dict[str, Any]:
    first = float(np.round(length * rng.uniform(0.35, 0.65), -1))
    pieces = [[first, _radius(rng, length, least)], [length - first, _radius(rng, length, least)]]
    return {"segments_mm": pieces}


def _s_shape(rng: np.random.Generator, length: float, least: float) -> dict[str, Any]:
    straight = float(np.round(length * rng.uniform(0.0, 0.2), -1))
    first = float(np.round((length - straight) * rng.uniform(0.4, 0.6), -1))
    last = length - straight - first
    pieces: list[list[float | None]] = [
        [first, _radius(rng, length, least)],
        [last, -_radius(rng, length, least)],
    ]
    if straight > 0.0:
        pieces.insert(1, [straight, None])
    return {"segments_mm": pieces}


def _offsets(rng: np.random.Generator, length: float, least: float) -> dict[str, Any]:
    """A loftsman's table: ordinates in 0.01 mm of a curve whose curvature changes from end to end."""
    ends = 1.0 / np.array([_radius(rng, length, least), _radius(rng, length, least)])
    s = np.linspace(0.0, length, 1001)
    heading = ends[0] * s + (ends[1] - ends[0]) * s**2 / (2.0 * length)
    step = np.diff(s, prepend=0.0)
    points = np.stack([np.cumsum(step * np.cos(heading)), np.cumsum(step * np.sin(heading))], axis=1)
    table = points[:: 1000 // int(rng.integers(8, 13) // 2 * 2)]
    return {"offsets_mm": [[round(float(x), 2), round(float(y), 2)] for x, y in table]}


FORMS: dict[str, Callable[[np.random.Generator, float, float], dict[str, Any]]] = {
    "arc": _arc,
    "two radii": _two_radii,
    "S": _s_shape,
    "offsets": _offsets,
}
