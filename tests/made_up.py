"""Made-up jobs for the tests: ribs of a small observatory's dome, ends of its tank, a fountain's bowl."""

from __future__ import annotations

import copy
from typing import Any

RIB: dict[str, Any] = {
    "name": "Shutter rib 3",
    "kind": "section",
    "line": {"radius": "1500 mm", "length": "1200 mm"},
    "section": {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"},
    "material": "aluminium 5754-O",
    "tool": {
        "patch_length": "20 mm",
        "patch_depth": "15 mm",
        "strain_per_stroke": 0.004,
        "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8},
    },
    "pitch": "40 mm",
    "template": "inside",
    "gauge": "feeler leaves",
    "tolerance": "0.5 mm",
}
BOWL: dict[str, Any] = {
    "name": "Fountain bowl",
    "kind": "dish",
    "shape": {"radius": "300 mm", "depth": "60 mm"},
    "method": "shrink the edge",
    "thickness": "1.5 mm",
    "pitch": "25 mm",
    "material": "aluminium 1050A-O",
    "tool": {
        "patch_length": "20 mm",
        "patch_depth": "15 mm",
        "strain_per_stroke": 0.004,
        "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8},
    },
    "template": "inside",
    "gauge": {"name": "depth rod", "step": "0.1 mm", "repeatability": "0.05 mm", "largest": "300 mm"},
    "tolerance": "1 mm",
}
SHAPES: dict[str, dict[str, Any]] = {
    "radius and depth": {"radius": "300 mm", "depth": "60 mm"},
    "radius and angle": {"radius": "300 mm", "angle": "37 deg"},
    "diameter and depth": {"diameter": "400 mm", "depth": "60 mm"},
    "dished end": {"crown_radius": "400 mm", "knuckle_radius": "60 mm", "diameter": "400 mm"},
    "profile": {"profile_mm": [[0, 0], [60, 4.5], [120, 19], [170, 42], [200, 64]]},
    "traced": {
        "traced_mm": [[16 * i, 0.4 * (16 * i) ** 2 / 300 + 0.1 * (-1) ** i] for i in range(13)],
        "tracing_sd": "0.3 mm",
    },
}
LINES: dict[str, dict[str, Any]] = {
    "radius and length": {"radius": "1500 mm", "length": "1200 mm"},
    "radius and angle": {"radius": "1500 mm", "angle": "46 deg"},
    "chord and rise": {"chord": "1000 mm", "rise": "60 mm"},
    "segments": {"segments": [["400 mm", "1500 mm"], ["200 mm", None], ["400 mm", "-900 mm"]]},
    "offsets": {"offsets_mm": [[0, 0], [150, 7.5], [300, 30.4], [450, 69.1], [600, 125.2]]},
    "traced": {
        "traced_mm": [[50 * i, 0.5 * (50 * i) ** 2 / 1500 + 0.1 * (-1) ** i] for i in range(13)],
        "tracing_sd": "0.3 mm",
    },
}
SECTIONS: dict[str, dict[str, Any]] = {
    "angle": {"shape": "angle", "worked": "40 mm", "other": "25 mm", "thickness": "1.5 mm"},
    "channel, both": {
        "shape": "channel",
        "web": "60 mm",
        "flange": "30 mm",
        "thickness": "1.5 mm",
        "worked": "both",
    },
    "channel, one": {
        "shape": "channel",
        "web": "60 mm",
        "flange": "30 mm",
        "thickness": "1.5 mm",
        "worked": "one",
    },
    "Z": {"shape": "Z", "web": "50 mm", "flange": "30 mm", "other_flange": "20 mm", "thickness": "1.5 mm"},
    "T": {"shape": "T", "depth": "40 mm", "flange": "30 mm", "thickness": "2 mm"},
    "flat bar": {"shape": "flat bar", "depth": "30 mm", "thickness": "3 mm"},
}


TANK_END: dict[str, Any] = {
    "name": "Tank end",
    "kind": "flange",
    "outline": {"rim": "600 mm"},
    "height": "20 mm",
    "angle": "90 deg",
    "inside_radius": "3 mm",
    "thickness": "1.5 mm",
    "material": "aluminium 1050A-O",
    "tool": {"patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": 0.004},
    "pitch": "40 mm",
    "template": "square",
    "gauge": "dial",
    "tolerance": "0.5 mm",
}
OUTLINES: dict[str, dict[str, Any]] = {
    "rim": {"rim": "600 mm"},
    "hole": {"hole": "200 mm"},
    "straight": {"segments": [["600 mm", None]]},
    "saddle": {"segments": [["120 mm", None], ["250 mm", "-200 mm"], ["120 mm", None]]},
    "mixed": {"segments": [["400 mm", "300 mm"], ["200 mm", None], ["200 mm", "-200 mm"]]},
}


def rib(**changes: Any) -> dict[str, Any]:
    """The rib's document with fields changed; a dotted name reaches inside ("line.radius" as line__radius);
    the value ``...`` takes a field away."""
    return _changed(RIB, changes)


def flange(**changes: Any) -> dict[str, Any]:
    """The tank end's document with fields changed as in :func:`rib`."""
    return _changed(TANK_END, changes)


def bowl(**changes: Any) -> dict[str, Any]:
    """The bowl's document, with fields changed in the same way."""
    return _changed(BOWL, changes)


def _changed(known: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    document = copy.deepcopy(known)
    for name, value in changes.items():
        *way, last = name.split("__")
        place = document
        for step in way:
            place = place[step]
        if value is ...:
            del place[last]
        else:
            place[last] = value
    return document
