"""Ways to make a dish of a disc, by what each asks of the metal and which actions some tool does.

Of those whose strain the metal takes and whose actions are at hand the first is taken, in the order of
``METHODS``: shrinking the edge leaves the sheet thicker, doming thinner (common practice, no source). Where
none fits, the one that asks the least share of its limit.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

import numpy as np

from core.geometry.blank import AREA_KEPT, LENGTH_KEPT, RIM_KEPT, Blank
from core.geometry.meridian import Meridian

# What is done with the metal, and its strain along the meridian over that of the hoop.
METHODS = {"shrink the edge": LENGTH_KEPT, "dome from the middle": RIM_KEPT, "keep the area": AREA_KEPT}
BY_LIMITS = "by limits"
WAYS = (*METHODS, BY_LIMITS)  # what a job may say
LEAST = 1e-4  # strain below which an action is not asked for
PLACES = 201  # of the meridian
_ING = {"shrink": "shorter", "stretch": "longer"}

Asked = Mapping[str, float]


def asked_of(meridian: Meridian) -> dict[str, Asked]:
    """By method and action, the most natural hoop strain (an amount) that the dish asks for by it."""
    s = np.linspace(0.0, meridian.length_mm, PLACES)
    hoops = {name: Blank(meridian, along).hoop_strain(s) for name, along in METHODS.items()}
    ends = {name: {"shrink": -float(e.min()), "stretch": float(e.max())} for name, e in hoops.items()}
    return {name: {a: most for a, most in each.items() if most > LEAST} for name, each in ends.items()}


def share(asked: Asked, takes: Asked) -> float:
    """Of what the metal takes in all by an action, inf where no tool does one. takes : by action at hand"""
    return max((most / takes[a] if a in takes else inf for a, most in asked.items()), default=0.0)


def by_limits(asked: Mapping[str, Asked], takes: Asked) -> str:
    """The method that is taken."""
    shares = {name: share(each, takes) for name, each in asked.items()}
    fits = next((name for name, used in shares.items() if used <= 1.0), None)
    return fits or min(shares, key=lambda name: shares[name])


def why(asked: Mapping[str, Asked], takes: Asked) -> str:
    """Which that is, what it asks, and why not those before it, in a sentence."""
    taken = by_limits(asked, takes)
    before = [name for name in asked if name != taken]
    if share(asked[taken], takes) <= 1.0:
        before = list(asked)[: list(asked).index(taken)]
    others = "".join(f"; not '{name}': {_told(asked[name], takes)}" for name in before)
    return f"Method by limits: '{taken}': {_told(asked[taken], takes)}{others}."


def instead(asked: Mapping[str, Asked], takes: Asked, own: str) -> str:
    """Another method that would do, in a few words, "" where none does."""
    name = by_limits({k: each for k, each in asked.items() if k != own}, takes)
    return f"'{name}': {_told(asked[name], takes)}" if share(asked[name], takes) <= 1.0 else ""


def missing(asked: Asked, takes: Asked) -> list[str]:
    """Actions that are asked for and that no tool does."""
    return [action for action in asked if action not in takes]


def _told(asked: Asked, takes: Asked) -> str:
    return " and ".join(
        f"the metal gets up to {_per_cent(action, most)} {_ING[action]}, {_may(action, takes)}"
        for action, most in asked.items()
    )


def _may(action: str, takes: Asked) -> str:
    return f"and may get {_per_cent(action, takes[action])}" if action in takes else "which no tool here does"


def _per_cent(action: str, strain: float) -> str:
    """Of length, by a natural strain."""
    sign = -1.0 if action == "shrink" else 1.0
    return f"{100.0 * abs(np.expm1(sign * strain)):.3g} %"
