"""What one simulated bar, its metal and its shop are really like; nobody on the floor knows these numbers.

Sizes of the effects: finite elements of an angle and of channels (kink spread over 15 to 30 mm, a stroke
near the end does 0.4 to 0.7 of its work, a light bite less than in proportion, a second stroke on the
same spot 0.3 to 0.7 of the first, a worked neighbour a quarter). The rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
# Of discs, in the middle of what is drawn: unevenness of the sheet and of one pass round a ring (common
# practice, no source), and how far the sheet gives way to it (finite elements: core.simulate.lobes).
SHEET_UNEVEN, HAND_UNEVEN, GIVES_WAY = 0.002, 0.004, 4.0


@dataclass(frozen=True)
class Wander:
    """A smooth random function of the place along the bar, with zero mean and unit spread times ``size``.

    frequency : (k,) rad/mm, phase : (k,) rad. A sum of many cosines with normally distributed
    frequencies is a Gaussian process with correlation exp(-d^2 / (2 l^2)).
    """

    size: float
    frequency: Array
    phase: Array

    def __call__(self, s_mm: Array) -> Array:
        """(n,) value at these places."""
        waves = np.cos(np.multiply.outer(s_mm, self.frequency) + self.phase)
        mean: Array = waves.mean(axis=-1)
        return np.asarray(self.size * np.sqrt(2.0 * len(self.phase)) * mean)

    @classmethod
    def none(cls) -> Wander:
        """The function that is zero everywhere."""
        return cls(0.0, np.zeros(1), np.zeros(1))

    @classmethod
    def draw(cls, rng: np.random.Generator, size: float, length_mm: float, terms: int = 64) -> Wander:
        """One drawn function with this spread and this correlation length."""
        return cls(size, rng.normal(0.0, 1.0 / length_mm, terms), rng.uniform(0.0, 2.0 * np.pi, terms))


@dataclass(frozen=True)
class Truth:
    """The hidden numbers.

    common : work of a stroke against the first guess; action : the same for each action on top of it
    bite_exponent, bite : a bite of strength b does b**bite_exponent * bite[name] of a bite of strength 1
    unevenness : log of the work along the bar; scatter : sd of the log of one stroke's work
    exponent : m strokes on a spot in one pass do m**exponent times the first one's work
    hardening_strain : accumulated edge strain (1) that halves the work: 1 / (1 + E / hardening_strain)
    neighbour_loss : share lost between two worked neighbours, half of it beside one
    spread : length over which a kink is spread, in flange widths
    end_depth, end_reach : a stroke at x from an end does 1 - end_depth * exp(-x / (end_reach * flange))
    placement_mm : how far from the station's mark the strokes of a pass lie (sd)
    stock_curvature : of the untouched bar, 1/mm; template_error : mm outward, of the template as cut
    seat_mm, slip_mm : how roughly the template is seated, at its ends and along the bar (sd)
    seat_share : the same as a share of the widest gap, since a template that touches at one point rocks
    smoothing, smoothing_alike : work of a smoothing pass, of either sign, as a share of that of a pass (sd):
        at each station for itself, and alike all along
    stock_bow : curvature of the untouched bar out of the plane, 1/mm
    comes_along, comes_along_sd : share of the elastic formula that a stroke bends the bar out of the plane of
        the flange that it strikes, and how that differs (sd) from pass to pass
    other_flange : work of a stroke on the other flange against one on the worked flange
    bow_reading_mm : of the bow as read on a bench plate (sd)
    sheet_uneven : of the strain of strokes round a ring, with two lobes and with three, alike in all passes;
        hand_uneven : the same of one pass (sd of either part); gives_way : outward at the rim over radius
        times uneven strain
    """

    common: float = 1.0
    action: Mapping[str, float] = field(default_factory=lambda: {"shrink": 1.0, "stretch": 1.0})
    bite_exponent: float = 1.0
    bite: Mapping[str, float] = field(default_factory=dict)
    unevenness: Wander = field(default_factory=Wander.none)
    scatter: float = 0.0
    exponent: float = 1.0
    hardening_strain: float = np.inf
    neighbour_loss: float = 0.0
    spread: float = 1.0
    end_depth: float = 0.0
    end_reach: float = 0.25
    placement_mm: float = 0.0
    stock_curvature: Wander = field(default_factory=Wander.none)
    template_error: Wander = field(default_factory=Wander.none)
    seat_mm: float = 0.0
    slip_mm: float = 0.0
    seat_share: float = 0.0
    smoothing: float = 0.0
    smoothing_alike: float = 0.0
    stock_bow: Wander = field(default_factory=Wander.none)
    comes_along: float = 1.0
    comes_along_sd: float = 0.0
    other_flange: float = 1.0
    bow_reading_mm: float = 0.0
    sheet_uneven: tuple[complex, complex] = (0j, 0j)
    hand_uneven: float = 0.0
    gives_way: float = 4.0

    def bite_work(self, name: str, strength: float) -> float:
        """Work of a stroke with this bite against one of strength 1."""
        return float(strength**self.bite_exponent * self.bite.get(name, 1.0))

    def end_share(self, distance_mm: Array, flange_mm: float) -> Array:
        """(n,) share of its work that a stroke this far from the nearer end does, 0 to 1."""
        lost = self.end_depth * np.exp(-np.maximum(distance_mm, 0.0) / (self.end_reach * flange_mm))
        share: Array = np.maximum(1.0 - lost, 0.0)
        return share


def draw_truth(
    rng: np.random.Generator,
    bites: Mapping[str, float],
    *,
    common_sd: float = 0.27,
    action_sd: float = 0.15,
    uneven_sd: float = 0.10,
    uneven_length_mm: float = 250.0,
    scatter: float = 0.12,
    exponent: tuple[float, float] = (0.7, 1.0),
    stock_bow_mm_per_m: float = 0.7,
    template_sd_mm: float = 0.03,
) -> Truth:
    """One bar, drawn. Spreads are standard deviations of logarithms; exponent is drawn evenly.

    stock_bow_mm_per_m : sd of the bow of the untouched bar over one metre.
    """
    curvature = 8.0 * stock_bow_mm_per_m / 1000.0**2
    aside, round_it = rng.spawn(2)  # apart, so that nothing in the plane depends on what is drawn out of it
    sheet = float(np.exp(round_it.normal(np.log(SHEET_UNEVEN), 0.5)))
    ways = round_it.normal(size=(2, 2)) @ np.array([1.0, 1.0j])
    return Truth(
        common=float(np.exp(rng.normal(0.0, common_sd))),
        action={a: float(np.exp(rng.normal(0.0, action_sd))) for a in ("shrink", "stretch")},
        bite_exponent=float(rng.uniform(0.9, 1.2)),
        bite={name: float(np.exp(rng.normal(0.0, 0.05))) for name in bites},
        unevenness=Wander.draw(rng, uneven_sd, uneven_length_mm),
        scatter=scatter,
        exponent=float(rng.uniform(*exponent)),
        hardening_strain=float(np.exp(rng.normal(np.log(0.5), 0.4))),
        neighbour_loss=float(rng.uniform(0.0, 0.25)),
        spread=float(rng.uniform(0.8, 1.2)),
        end_depth=float(rng.uniform(1.2, 2.3)),
        end_reach=float(rng.uniform(0.2, 0.26)),
        placement_mm=2.0,
        stock_curvature=Wander.draw(rng, curvature, 400.0),
        template_error=Wander.draw(rng, template_sd_mm, 200.0),
        seat_mm=0.15,
        slip_mm=0.7,
        seat_share=0.02,
        smoothing=0.08,
        smoothing_alike=0.015,
        stock_bow=Wander.draw(aside, curvature, 400.0),
        comes_along=float(aside.uniform(0.4, 0.95)),
        comes_along_sd=0.1,
        other_flange=float(np.exp(aside.normal(0.0, 0.2))),
        bow_reading_mm=0.2,
        sheet_uneven=(complex(sheet * ways[0]), complex(sheet * ways[1])),
        hand_uneven=float(np.exp(round_it.normal(np.log(HAND_UNEVEN), 0.5))),
        gives_way=float(np.exp(round_it.normal(np.log(GIVES_WAY), 0.3))),
    )
