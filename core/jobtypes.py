"""A job: the part as it is wanted, and what it is worked and measured with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite, nan
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.checks import Check
from core.events import ACTIONS
from core.kinds.base import FoldedByTool, Part
from core.limits import Limits
from core.machine import Machine
from core.metals import Metal
from core.readings.gauges import Gauge
from core.readings.templates import Template
from core.seen import Seen, Shared
from core.setplace import SetPlace

Array = NDArray[np.float64]
ALIKE_MM = 1e-6  # settings that were typed alike, in other units
CHANGE_S = 300.0  # to change the tool set, or its face (common practice, no source)
# What the worked faces are to look like -> how a sentence says it.
FINISHES = {"plain": "marks of the tool may stay", "visible": "the faces stay in sight"}


@dataclass(frozen=True)
class RamSetting:
    """What the operator sets for a bite: text as it is written; mm where it is a length, None for a mark."""

    text: str
    mm: float | None = None

    def within(self, ends_mm: tuple[float, float]) -> bool:
        """Whether a machine that is set from one of these ends to the other can be set to it; so far as is
        known of a mark."""
        least, most = ends_mm
        return self.mm is None or least - ALIKE_MM <= self.mm <= most + ALIKE_MM


@dataclass(frozen=True)
class Tool:
    """One tool set of the shop.

    patch_length_mm, patch_depth_mm : what one stroke shortens or lengthens, depth from the free edge
    strain_per_stroke : edge strain of one stroke at bite 1.0, first guess
    bites : name -> strength against bite 1.0, ascending
    strokes_per_minute : rate of the machine
    face : any text; "gripping", "smooth" and "soft-faced" mean something
    free_length_mm : of edge between the gripping halves, where thin metal may fold; NaN where nobody knows
    actions : that the tool does, both where one holder does both
    settings : by bite, where the shop gives them
    smallest_flange_mm, smallest_radius_mm : least worked flange that the tool enters, and least radius of an
    edge on the inside of its curve; smallest_angle_rad : least angle between the worked flange and the metal
    beside it
    change_s : time that it takes to change to it, or from one of its actions to the other; NaN where the shop
    does not say, see :meth:`changing_s`
    """

    patch_length_mm: float
    patch_depth_mm: float
    strain_per_stroke: float
    bites: Mapping[str, float]
    strokes_per_minute: float = 120.0
    face: str = "gripping"
    free_length_mm: float = nan
    name: str = ""
    actions: tuple[str, ...] = ACTIONS
    settings: Mapping[str, RamSetting] = field(default_factory=dict)
    smallest_flange_mm: float = 0.0
    smallest_radius_mm: float = 0.0
    smallest_angle_rad: float = 0.0
    change_s: float = nan

    def strain(self, bite: str) -> float:
        """Edge strain of one stroke with this bite, first guess."""
        return self.strain_per_stroke * self.bites[bite]

    def changing_s(self, other: bool) -> float:
        """Time to change to it, s. other : another set was on; else one holder goes on to its other action,
        which takes no time where the shop does not say."""
        return self.change_s if isfinite(self.change_s) else CHANGE_S * other

    def bite_like(self, name: str, strength: float, among: Sequence[str] = ()) -> str:
        """The bite of this name, else the one that is about as strong; among : these, of all where none."""
        return min(among or self.bites, key=lambda bite: (bite != name, abs(self.bites[bite] - strength)))

    def __str__(self) -> str:
        return f'the set "{self.name}"' if self.name else f"the set with the {self.face} face"


@dataclass(frozen=True)
class ResponsePrior:
    """What is believed of the response before this part is read.

    Standard deviations of the logarithm of work per stroke: common to everything, of each action,
    of each bite; work of a bite of strength b ~ b**(1 + bite_exponent) (mean, sd: a stiff tool that
    shortens a patch and lets go leaves 0.6, 0.8, 0.9 of what was imposed at 0.5, 1, 2 % by finite
    elements, the rest springs back); unevenness along the part (sd and correlation length); exponent
    p of work ~ m**p (mean, sd); log response lost between two neighbours struck in the same pass (mean, sd);
    hardening, loss of log response per unit of accumulated edge strain (mean, sd);
    scatter of one stroke, as a fraction of its work. ``scale`` multiplies the first guess of an
    (action, bite). ``shared`` : what parts alike told of all but unevenness, in place of the
    above. ``seen`` : what has been seen elsewhere, by which all this is conditioned.
    """

    common_sd: float = 0.27
    action_sd: float = 0.15
    bite_sd: float = 0.06
    bite_exponent: float = 0.05
    bite_exponent_sd: float = 0.1
    uneven_sd: float = 0.11
    uneven_length_mm: float = 250.0
    neighbours: float = 0.13
    neighbours_sd: float = 0.08
    exponent: float = 0.85
    exponent_sd: float = 0.09
    hardening: float = 2.0
    hardening_sd: float = 1.0
    scatter: float = 0.15
    scale: Mapping[tuple[str, str], float] = field(default_factory=dict)
    seen: tuple[Seen, ...] = ()
    shared: Shared | None = None


@dataclass(frozen=True)
class Job:
    """One part to be made.

    part : the kind's geometry and limits; metal : its figures and where they are from;
    tool : the set that is given first, by whose patch the part is reckoned; tools : by action, the set that
    does it (the first where none does); under : by action, the part as that set strains it; actions : that
    some set does; smoother : the action whose set smooths faces that stay in sight; choice : sentences on why
    these sets were taken, where there were others;
    template, gauge : as usually used, a round may differ;
    tolerance_mm : widest gap allowed (signed templates: largest deviation either way);
    confidence : chance of being within that "within" needs; overshoot_risk : accepted for a pass;
    limits : what the metal takes; machine : None where the shop does not say; finish : of ``FINISHES``;
    checks : of the finished part, beside its gaps; place : in a set of parts alike, None where it is not
    told; misfits : by action, why no pass of it can be run on this machine with its set, sentences; warnings
    : sentences found while reading the document, those too; document : as given, JSON-ready; settled : fields
    that it left open, as they came out
    """

    name: str
    kind: str
    part: Part
    metal: Metal
    tool: Tool
    tools: Mapping[str, Tool]
    under: Mapping[str, Part]
    actions: tuple[str, ...]
    smoother: str
    template: Template
    gauge: Gauge
    tolerance_mm: float
    document: Mapping[str, Any]
    confidence: float = 0.95
    overshoot_risk: float = 0.05
    response: ResponsePrior = ResponsePrior()
    limits: Limits = field(default_factory=Limits)
    machine: Machine | None = None
    choice: tuple[str, ...] = ()
    finish: str = "plain"
    checks: tuple[Check, ...] = ()
    place: SetPlace | None = None
    misfits: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    settled: Mapping[str, Any] = field(default_factory=dict)

    @property
    def settled_document(self) -> dict[str, Any]:
        """The document with what it left open stated: a part is begun with that, so that limits which change
        later move nothing that was cut by them."""
        return {**self.document, **self.settled}

    def strokes_in_all(self, action: str, strokes: Sequence[int]) -> int:
        """Strokes of a whole pass with these counts, one a site, each for every spot of its site."""
        return round(float(self.spots(action) @ np.asarray(strokes, dtype=float)))

    def spots(self, action: str) -> Array:
        """(n,) spots, a patch of this action's tool long each, that all get the strokes of a site."""
        return self.part.sites.spots(self.tools[action].patch_length_mm)

    def fold_rad(self, action: str, bite: str) -> float:
        """First guess of what one stroke turns a patch's length where the tool folds, 0 for other parts."""
        part = self.part
        return (
            part.fold_per_strain_rad * self.tools[action].strain(bite)
            if isinstance(part, FoldedByTool)
            else 0.0
        )

    def net_strain(self, work: Array) -> Array:
        """(n,) edge strain that goes with this work (n,), signed, each action by its own tool."""
        by_action = {action: self.under[action].edge_strain(work) for action in ACTIONS}
        return np.where(work > 0.0, by_action["shrink"], by_action["stretch"])

    def bites(self, action: str) -> tuple[str, ...]:
        """Bites that may be used for an action and that the machine can be set to, the weakest first; none
        where no set does it."""
        tool, beyond = self.tools[action], self.beyond_range(action)
        fit = self.limits.bites(action, tool.bites, tool.strain_per_stroke) if action in self.actions else ()
        return tuple(bite for bite in fit if bite not in beyond)

    def beyond_range(self, action: str) -> tuple[str, ...]:
        """Bites of the set that does an action whose ram setting the machine cannot be set to."""
        tool, ends = self.tools[action], (self.machine or Machine()).settings_mm
        return tuple(bite for bite, setting in tool.settings.items() if not setting.within(ends))
