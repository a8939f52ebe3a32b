"""The jobs of the demo shop and of the rehearsal: the dome refit of a small mountain observatory.

The observatory, its parts and all their sizes are invented. Two outlines are published:

* NACA 0012: ordinates in per cent of the chord, NACA Report 460 (1933), here from memory and held
  against the report's formula in the tests;
* the Wigley hull, a mathematical hull form: half-breadth b (1 - (2x/L)^2) (1 - (z/T)^2), with the usual
  proportions L/B = 10 and B/T = 1.6.
"""

from __future__ import annotations

from typing import Any

NACA_0012_PER_CENT = (
    (5.0, 3.555),
    (7.5, 4.200),
    (10.0, 4.683),
    (15.0, 5.345),
    (20.0, 5.737),
    (25.0, 5.941),
    (30.0, 6.002),
    (40.0, 5.803),
    (50.0, 5.294),
    (60.0, 4.563),
    (70.0, 3.664),
    (80.0, 2.623),
    (90.0, 1.448),
    (95.0, 0.807),
)
TOOL = {
    "name": "dome jaws",
    "patch_length": "20 mm",
    "patch_depth": "15 mm",
    "strain_per_stroke": 0.004,
    "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8},
    "settings": {"light": "1.5 mm", "medium": "2.5 mm", "heavy": "4 mm"},
}
SMOOTH = {**TOOL, "name": "dome jaws, smooth", "face": "smooth"}
MACHINE = {
    "name": "workshop machine",
    "throat": "120 mm",
    "rated_thickness": "2 mm",
    "stroke_rates": [60, 240],
    "feeds": ["2 mm/s", "40 mm/s"],
    "settings_range": ["0 mm", "6 mm"],
}
DEEP = {**MACHINE, "name": "workshop machine, deep throat", "throat": "250 mm"}
INVENTED = "Invented for the demo: the dome refit of a small mountain observatory."


def demo_jobs() -> dict[str, dict[str, Any]]:
    """Job documents by the name that the command line knows them by."""
    return {
        "shutter-rib": _job(
            "Shutter rib 3",
            {"radius": "1500 mm", "length": "1200 mm"},
            {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"},
        ),
        "gutter-rib": _job(
            "Gutter rib, S-shaped",
            {"segments": [["400 mm", "1500 mm"], ["200 mm", None], ["400 mm", "-900 mm"]]},
            {"shape": "channel", "flange": "30 mm", "web": "60 mm", "thickness": "1.5 mm", "worked": "both"},
        ),
        "wind-vane-rib": _job(
            "Wind vane rib",
            {"offsets_mm": naca_offsets(1600.0)},
            {"shape": "T", "depth": "30 mm", "flange": "30 mm", "thickness": "2 mm"},
        ),
        "canopy-frame": _job(
            "Entrance canopy frame",
            {"offsets_mm": wigley_offsets(900.0, 0.5)},
            {"shape": "angle", "worked": "30 mm", "other": "20 mm", "thickness": "1.5 mm"},
            template="outside",
            tool=SMOOTH,
            finish="visible",
        ),
        "tank-end": _sheet(
            "End of the rain tank",
            {
                "kind": "flange",
                "outline": {"rim": "400 mm"},
                "height": "16 mm",
                "angle": "90 deg",
                "inside_radius": "3 mm",
                "pitch": "80 mm",
                "template": "square",
            },
            "aluminium 1050A-O",
        ),
        "fountain-dish": _sheet(
            "Fountain dish",
            {
                "kind": "dish",
                "shape": {"diameter": "400 mm", "depth": "50 mm"},
                "method": "shrink the edge",
                "pitch": "30 mm",
                "template": "inside",
                "tolerance": "1 mm",
                "machine": DEEP,
            },
            "copper Cu-DHP soft",
        ),
    }


def naca_offsets(chord_mm: float) -> list[list[float]]:
    """Upper surface of NACA 0012 from 95 to 5 per cent of the chord, (x, y) in mm.

    From the trailing edge forward, so that the hollow side is on the left and gets shorter.
    """
    table = reversed(NACA_0012_PER_CENT)
    return [[round(chord_mm * x / 100.0, 3), round(chord_mm * y / 100.0, 3)] for x, y in table]


def wigley_offsets(draught_mm: float, station: float, waterlines: int = 13) -> list[list[float]]:
    """One frame of the Wigley hull from keel to waterline, (half-breadth, height above keel) in mm.

    station : 2x/L from midship, 0 to 1; half the beam is 0.8 of the draught (B/T = 1.6).
    """
    breadth = 0.8 * draught_mm * (1.0 - station**2)
    heights = [i / (waterlines - 1) for i in range(waterlines)]
    return [[round(breadth * (1.0 - (1.0 - h) ** 2), 3), round(draught_mm * h, 3)] for h in heights]


def _sheet(name: str, part: dict[str, Any], material: str) -> dict[str, Any]:
    return {
        "name": name,
        "note": INVENTED,
        "thickness": "1.5 mm",
        "material": material,
        "tool": TOOL,
        "machine": MACHINE,
        "gauge": "taper gauge",
        "tolerance": "0.5 mm",
        **part,
    }


def _job(
    name: str,
    line: dict[str, Any],
    section: dict[str, Any],
    template: str = "inside",
    tool: dict[str, Any] = TOOL,
    finish: str = "plain",
) -> dict[str, Any]:
    return {
        "name": name,
        "note": INVENTED,
        "kind": "section",
        "line": line,
        "section": section,
        "material": "aluminium 5754-O",
        "tool": tool,
        "finish": finish,
        "machine": MACHINE,
        "pitch": "40 mm",
        "template": template,
        "gauge": "feeler leaves",
        "tolerance": "0.5 mm",
    }
