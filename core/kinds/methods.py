"""Ways to make a dish of a disc, by what each asks of the metal and which actions some tool does.

Of those whose strain the metal takes and whose actions are at hand the first is taken, in the order of
``METHODS``: shrinking the edge leaves the sheet thicker, doming thinner (common practice, no source), and
both at once want two actions, and a change of tools. Where none fits, the one that asks the least share of
its limit.

Of a dish that is made both ways at once one number is free, where the neutral ring lies. The further out, the
more the pole has to stretch and the less any ring has to shrink. It is laid where both have the same share of
what the metal takes: there the larger of the two shares is least. Limits may change while a part is made, the
disc that was cut does not: a part once begun keeps the ring where its document states it.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, inf

import numpy as np

from core.geometry.blank import Blank
from core.geometry.meridian import Meridian
from core.geometry.ways import AREA_KEPT, LENGTH_KEPT, RIM_KEPT, EdgeAndMiddle, Way
from core.units import format_length

# What is done with the metal: those that are the same for every dish, and the one that limits lay out.
SINGLE: dict[str, Way] = {
    "shrink the edge": LENGTH_KEPT,
    "dome from the middle": RIM_KEPT,
    "keep the area": AREA_KEPT,
}
BOTH = "shrink the edge and dome the middle"
METHODS = (*SINGLE, BOTH)
BY_LIMITS = "by limits"
WAYS = (*METHODS, BY_LIMITS)  # what a job may say
ALIKE = {"shrink": 1.0, "stretch": 1.0}  # limits where the tools at hand leave one out
LEAST = 1e-4  # strain below which an action is not asked for
PLACES = 201  # of the meridian
ELSEWHERE = 1.1  # times the least share of the limits, from which it is said that a stated ring asks more
STEP_MM = 0.1  # to which a neutral ring is written down
_ING = {"shrink": "shorter", "stretch": "longer"}

Asked = Mapping[str, float]


def ways_of(meridian: Meridian, takes: Asked, neutral_mm: float | None = None) -> dict[str, Way]:
    """By method, as this dish is made by it. takes : as for :func:`share`; neutral_mm : the neutral ring that
    is stated, along the meridian"""
    at = neutral_share(meridian, takes) if neutral_mm is None else neutral_mm / meridian.length_mm
    return {**SINGLE, BOTH: EdgeAndMiddle(at)}


def neutral_share(meridian: Meridian, takes: Asked) -> float:
    """Where the neutral ring lies, as a share of the meridian: both actions have the same share of what the
    metal takes; of one strain where no tool does one of them.

    By places of the meridian, straight between them. A neutral ring at s0 stretches the pole by as much less
    than doming does as doming stretches that ring; ring s beyond it has ln((r0 + s - s0)/r) to shrink.
    """
    most = takes if takes.keys() >= ALIKE.keys() else ALIKE
    s = np.linspace(0.0, meridian.length_mm, PLACES)[1:]
    radius = meridian.points_mm(s)[:, 0]
    domed = Blank(meridian, RIM_KEPT).hoop_strain(np.append(0.0, s))
    beyond = radius[:, None] + np.maximum(s - s[:, None], 0.0)
    shrunk = np.max(np.where(s >= s[:, None], np.log(beyond / radius), 0.0), axis=1)
    over = (domed[0] - domed[1:]) / most["stretch"] - shrunk / most["shrink"]
    return float(np.interp(0.0, over, s) / meridian.length_mm)


def written(meridian: Meridian, way: Way) -> str:
    """The neutral ring of this way as a document states it, "187.2 mm", within the rim; "" without one."""
    if way.kept is None:
        return ""
    steps = max(floor(way.kept * meridian.length_mm / STEP_MM * (1.0 + 1e-12)), 1)
    return f"{steps * STEP_MM:.1f} mm"


def open_ring(blank: Blank) -> str:
    """Where a ring lies that no document states yet, in a sentence; "" without one."""
    if blank.kept_mm is None:
        return ""
    along, radius = written(blank.meridian, blank.way), format_length(blank.kept_mm[1], decimals=1)
    return (
        f"The ring that keeps its size lies {along} from the pole along the dish, by the limits as they are "
        f"now; its radius is {radius}, on the disc as well. It stays there once the part is begun."
    )


def laid_elsewhere(blank: Blank, takes: Asked) -> str:
    """Where limits would lay the ring that is stated, in a sentence; "" where that asks hardly less."""
    best = EdgeAndMiddle(neutral_share(blank.meridian, takes))
    most = takes if takes.keys() >= ALIKE.keys() else ALIKE
    asked = asked_of(blank.meridian, {"stated": blank.way, "best": best})
    stated, least = (share(asked[name], most) for name in ("stated", "best"))
    if blank.kept_mm is None or stated <= ELSEWHERE * least:
        return ""
    at, would = blank.kept_mm[0], best.neutral * blank.meridian.length_mm
    return (
        f"The ring that keeps its size is stated at {format_length(at, decimals=1)} along the dish. By the "
        f"limits as they are now it would lie at {format_length(would, decimals=1)}: there the metal is "
        f"asked for {100.0 * least:.0f} % of what it may take, here for {100.0 * stated:.0f} %. A disc "
        "that is cut keeps the ring that it was cut for."
    )


def asked_of(meridian: Meridian, ways: Mapping[str, Way]) -> dict[str, Asked]:
    """By method and action, the most natural hoop strain (an amount) that the dish asks for by it."""
    s = np.linspace(0.0, meridian.length_mm, PLACES)
    hoops = {name: Blank(meridian, way).hoop_strain(s) for name, way in ways.items()}
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
    each = (f"up to {_per_cent(a, most)} {_ING[a]}, {_may(a, takes)}" for a, most in asked.items())
    return "the metal gets " + ", and ".join(each)


def _may(action: str, takes: Asked) -> str:
    return f"and may get {_per_cent(action, takes[action])}" if action in takes else "which no tool here does"


def _per_cent(action: str, strain: float) -> str:
    """Of length, by a natural strain."""
    sign = -1.0 if action == "shrink" else 1.0
    return f"{100.0 * abs(np.expm1(sign * strain)):.3g} %"
