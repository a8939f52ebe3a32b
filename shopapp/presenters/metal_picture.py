"""The metal: how it hardens as it is strained, how far until it wants annealing, what the part asks for."""

from __future__ import annotations

from math import inf, isfinite

import numpy as np

import core
from shopapp.presenters import axes, wording
from shopapp.presenters.metal_words import share, stress
from shopapp.presenters.picture_views import CurveDrawing, Picture, StrainMark, StrengthDrawing
from shopapp.presenters.pieces import OVER, PLAIN

FIELDS = ("material",)
POINTS = 60
LEAST_END, BEYOND = 0.05, 1.15
"""shortest strain axis, and how far it goes beyond the last mark"""
UNIT = " MPa"
LEAST_ASKED = 5e-4
"""strain that is not worth a mark"""


def picture(job: core.Job, part_known: bool) -> Picture | None:
    """None where nothing of the metal's strength is known. part_known : line and section are typed right."""
    metal, limits = job.metal, job.limits
    action, strain = strain_asked(job) if part_known else ("stretch", None)
    limit = (limits.shrink_since_anneal if action == "shrink" else limits.since_soft(softened=False)).strain
    drawing = _curve(metal, limit, strain) or _strengths(metal)
    if drawing is None:
        return None
    return Picture(FIELDS, drawing, (*_softening(limit, action, strain), (_strength_said(metal), PLAIN)))


def strain_asked(job: core.Job) -> tuple[str, float]:
    """Largest natural strain that the part's worked edge is stretched by; where it is not, shrunk by."""
    strain = np.asarray(job.part.asked_strain())
    longer, shorter = max(0.0, float(-strain.min())), max(0.0, float(strain.max()))
    return ("stretch", longer) if longer >= LEAST_ASKED or shorter < LEAST_ASKED else ("shrink", shorter)


def _curve(metal: core.Metal, limit: float, asked: float | None) -> CurveDrawing | None:
    """Hollomon's curve up to where a strip stops stretching evenly."""
    strength, exponent = metal.figure("K"), metal.figure("n")
    if strength is None or exponent is None or exponent.typical <= 0.0:
        return None
    k, n = strength.typical, exponent.typical
    marks = _marks(limit, asked)
    end = BEYOND * max([n, LEAST_END, *(mark.strain for mark in marks)])
    strains = np.linspace(0.0, 1.0, POINTS) ** 2 * n
    stresses = core.flow_stress_mpa(strains, k, n)
    top = axes.round_up(1.05 * float(stresses[-1]))
    return CurveDrawing(
        curve=tuple((float(e), float(s)) for e, s in zip(strains, stresses, strict=True)),
        strain_ticks=axes.ticks(end),
        stress_ticks=axes.ticks(top),
        ends=(end, top),
        marks=marks,
    )


def _marks(limit: float, asked: float | None) -> tuple[StrainMark, ...]:
    found = []
    if isfinite(limit):
        found.append(StrainMark(limit, f"anneal {share(limit)}", bold=True))
    if asked is not None and asked >= LEAST_ASKED:
        found.append(StrainMark(asked, f"this part {share(asked)}"))
    return tuple(found)


def _softening(limit: float, action: str, asked: float | None) -> tuple[tuple[str, str], ...]:
    """How far the edge may be stretched, or is shrunk before it is hard, and what the part asks for."""
    what = wording.capital(f"{action}ing")
    said = f"{what}: limit not known" if limit == inf else f"{what}: anneal by {share(limit)}"
    if asked is None:
        return ((f"{said}." if limit == inf else f"{said} of natural strain.", PLAIN),)
    wanted = (
        "none" if asked < LEAST_ASKED else f"{share(asked)} {'longer' if action == 'stretch' else 'shorter'}"
    )
    over = action == "stretch" and asked > limit
    return ((f"{said}; this part wants {wanted}.", OVER if over else PLAIN),)


def _strength_said(metal: core.Metal) -> str:
    """Proof stress and tensile strength in one unit, those that are known."""
    known = [
        f"{name} {stress(figure).removesuffix(UNIT)}"
        for name, figure in (("proof", metal.figure("proof")), ("tensile", metal.figure("tensile")))
        if figure is not None
    ]
    return wording.capital(f"{', '.join(known)}{UNIT}.") if known else "Its strength is not known."


def _strengths(metal: core.Metal) -> StrengthDrawing | None:
    """Bars of what is known of its strength, where there is no curve."""
    bars = []
    for name, key in (("proof", "proof"), ("tensile", "tensile")):
        figure = metal.figure(key)
        if figure is not None:
            low, high = (end if isfinite(end) else figure.typical for end in (figure.low, figure.high))
            bars.append((name, low, high))
    if not bars:
        return None
    end = axes.round_up(1.1 * max(high for _, _, high in bars))
    return StrengthDrawing(tuple(bars), axes.ticks(end), end)
