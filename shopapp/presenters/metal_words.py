"""A metal's figures in words: name, value or range with its unit, where it is from."""

from __future__ import annotations

from collections.abc import Callable
from math import isnan

import core

UNKNOWN, NONE_GIVEN = "not known", "none given"
NAMES = {
    "proof": "Proof stress (yield)",
    "tensile": "Tensile strength",
    "elongation": "Elongation at fracture",
    "elongation_annealed": "Elongation once annealed",
    "hole_expansion": "Hole expansion",
    "K": "Strength coefficient K",
    "n": "Hardening exponent n",
    "n_annealed": "Exponent n once annealed",
    "annealing": "Annealing",
    "E": "Young's modulus",
    "poisson": "Poisson's ratio",
    "density": "Density",
}
"""every figure that a metal may have, those first that tell a shaper most"""


def share(value: float) -> str:
    """A strain or an elongation, "17 %", "2.4 %"."""
    return f"{100 * value:.2g} %" if value < 0.1 else f"{100 * value:.0f} %"


def stress(figure: core.Figure) -> str:
    """Of a strength, "80 MPa", "190 to 240 MPa", "from 80 MPa"."""
    return _ends(figure, lambda mpa: f"{mpa:g}", "MPa")


def value(name: str, figure: core.Figure) -> str:
    """A figure with its range and unit."""
    if name in ("proof", "tensile", "K"):
        return stress(figure)
    if name == "E":
        return _ends(figure, lambda mpa: f"{mpa / 1000:g}", "GPa")
    if name in ("elongation", "elongation_annealed", "hole_expansion"):
        return _ends(figure, lambda part: f"{100 * part:g}", "%")
    unit = {"density": "kg/m³", "annealing": "°C"}.get(name, "")
    return _ends(figure, lambda number: f"{number:g}", unit)


def annealing(metal: core.Metal) -> str:
    """How hot and how it is annealed, and where that is from."""
    heat = metal.figure("annealing")
    if heat is None:
        return metal.none_given.get("annealing", "how is not known here: ask its supplier")
    how = f", {metal.how}" if metal.how else ""
    return f"{value('annealing', heat)}{how} ({source(heat)}); the supplier's own instructions first"


def _ends(figure: core.Figure, told: Callable[[float], str], unit: str) -> str:
    low, high = figure.low, figure.high
    if isnan(low):
        text = f"up to {told(high)}"
    elif isnan(high):
        text = f"from {told(low)}"
    else:
        text = told(low) if low == high else f"{told(low)} to {told(high)}"
    return f"{text} {unit}".strip()


def source(figure: core.Figure) -> str:
    """Where it is from, and whose it is."""
    return f"the shop's own: {figure.source}" if figure.own else figure.source
