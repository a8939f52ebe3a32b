"""A bar that answers strokes and can be measured, for the demo, the rehearsal and the benchmark.

It knows nothing of the estimator: geometry, metal and seating are its own. Not simulated: the bar's
own change of length, and gross misreadings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.jobtypes import Tool
from core.readings.gauges import GAUGES, Gauge
from core.readings.templates import INSIDE, Template
from core.simulate import metal
from core.simulate.bow import Bow
from core.simulate.offering import Offered, offered, seat_of, sweep_readings
from core.simulate.reading import COARSE, read_off, whole_round
from core.simulate.shape import CELL_MM, Curve, Line
from core.simulate.truth import Truth

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Struck:
    """How one action strikes the bar: tool : that does it; kink_per_strain_rad, bow_per_strain_rad : of a
    stroke of unit strain on its patch, well away from the ends, in the plane and out of it; other : the same
    on the other flange, None where there is none that the tool takes"""

    tool: Tool
    kink_per_strain_rad: float
    bow_per_strain_rad: float = 0.0
    other: Other | None = None


@dataclass(frozen=True)
class Other:
    """A stroke of unit strain on the other flange: kinks as of :class:`Struck`; flange_mm : its width;
    upright : it stands out of the plane of the curve; twist : for sections that warp"""

    kink_per_strain_rad: float
    bow_per_strain_rad: float
    flange_mm: float
    upright: bool
    twist: metal.Twist | None = None


@dataclass(frozen=True)
class Stock:
    """The bar on the bench, as plain numbers.

    line : what it shall become; stations_mm, width_mm : (n,) worked zones; flange_mm : width of the
    worked flange; edge_mm : neutral line to its free edge; struck : by action; twist : for sections that warp
    """

    line: Line
    stations_mm: Array
    width_mm: Array
    flange_mm: float
    edge_mm: float
    struck: Mapping[str, Struck]
    twist: metal.Twist | None = None
    template: Template = INSIDE
    gauge: Gauge = GAUGES["feeler leaves"]


class SimulatedBar:
    """One bar. Same stock, truth, seed and calls: same answers."""

    def __init__(self, stock: Stock, truth: Truth, seed: int) -> None:
        self.stock = stock
        self.truth = truth
        # Apart, so that the metal answers the same however often it is measured.
        self._metal_rng, self._reading_rng, self._bow_rng = np.random.default_rng(seed).spawn(3)
        length = stock.line.length_mm
        self._edges = np.linspace(0.0, length, int(np.ceil(length / CELL_MM)) + 1)
        self._middles = 0.5 * (self._edges[1:] + self._edges[:-1])
        self._raw = truth.stock_curvature(self._middles)
        self._curvature = self._raw.copy()
        self._aside = np.zeros_like(self._edges)
        self._bow = Bow(self._edges, truth.stock_bow(self._middles))
        self._strain = np.zeros(len(stock.stations_mm))
        self._other_strain = np.zeros(len(stock.stations_mm))
        self._work = np.zeros(len(stock.stations_mm))
        self._uneven = np.exp(truth.unevenness(stock.stations_mm))
        self._seat: tuple[Template, Offered] | None = None

    def work(self, action: str, bite: str, strokes: Sequence[int]) -> None:
        """Run one pass: whole strokes at every station. Raises InputError for counts that do not fit,
        KeyError for an action or a bite that the tool does not have."""
        stock, truth = self.stock, self.truth
        m = metal.counted(strokes, len(stock.stations_mm))
        kept = metal.beside_worked(m, truth.neighbour_loss)
        sums = metal.drawn_sums(m, truth, self._metal_rng)
        self._bend(metal.SIGNS[action] * self.first_stroke_rad(action, bite) * kept * sums, m, action)

    def smooth(self, bite: str, strokes: Sequence[int], action: str = "shrink") -> None:
        """Light strokes over the faces: a little work of either sign, errors as in :meth:`work`.

        action : whose tool it is done with
        """
        truth, rng = self.truth, self._metal_rng
        m = metal.counted(strokes, len(self.stock.stations_mm))
        sums = metal.drawn_sums(m, truth, rng)
        share = truth.smoothing * rng.normal(size=len(m)) + truth.smoothing_alike * rng.normal()
        self._bend(self.first_stroke_rad(action, bite) * sums * share, m, action)

    def counter(self, action: str, bite: str, strokes: Sequence[int]) -> None:
        """Strokes on the other flange, errors as in :meth:`work`; InputError, too, where there is none."""
        stock, truth, by = self.stock, self.truth, self.stock.struck[action]
        if by.other is None:
            raise InputError("action", action, "this bar has no other flange that the tool takes")
        m = metal.counted(strokes, len(stock.stations_mm))
        sums = metal.drawn_sums(m, truth, self._metal_rng) * metal.beside_worked(m, truth.neighbour_loss)
        one = truth.other_flange * self._first_strain(action, bite, self._other_strain, by.other.flange_mm)
        strains, places = metal.SIGNS[action] * one * sums, self._places(m)
        along = self._comes_along()
        in_plane, out = (along, 1.0) if by.other.upright else (1.0, along)
        kinks = in_plane * by.other.kink_per_strain_rad * strains
        self._curvature = self._curvature + metal.spread_kinks(self._edges, places, kinks)
        self._bow.bend(places, out * by.other.bow_per_strain_rad * strains)
        self._twist(places, strains, by.other.twist, out)
        self._other_strain = self._other_strain + np.abs(strains) * by.tool.patch_length_mm / stock.width_mm
        self._seat = None

    def _bend(self, kinks: Array, m: Array, action: str) -> None:
        """Put these kinks (n,), rad, in with so many strokes (n,) by the tool of this action."""
        stock, places, by = self.stock, self._places(m), self.stock.struck[action]
        strains = kinks / by.kink_per_strain_rad
        self._curvature = self._curvature + metal.spread_kinks(self._edges, places, kinks)
        out = self._comes_along()
        self._bow.bend(places, out * by.bow_per_strain_rad * strains)
        self._twist(places, strains, stock.twist, out)
        self._work = self._work + kinks
        self._strain = self._strain + np.abs(kinks) * stock.edge_mm / stock.width_mm
        self._seat = None

    def _twist(self, places: metal.Places, strains: Array, twist: metal.Twist | None, share: float) -> None:
        """What twisting does to the heel line; share : of it that comes out of the plane."""
        if twist is not None:
            inward, out = metal.heel_aside(self._edges, places, strains, twist)
            self._aside = self._aside + inward
            self._bow.shift(share * out)

    def _comes_along(self) -> float:
        """Share of the formula that comes out of the plane of the flange struck, in this pass."""
        drawn = self._bow_rng.normal(self.truth.comes_along, self.truth.comes_along_sd)
        return float(max(drawn, 0.0))

    def anneal(self) -> None:
        """Soften the bar: what earlier strokes have hardened is as new; its shape stays."""
        self._strain = np.zeros_like(self._strain)
        self._other_strain = np.zeros_like(self._other_strain)

    def first_stroke_rad(self, action: str, bite: str) -> Array:
        """(n,) true work, now, of the first stroke of a pass at each station, without its scatter."""
        one = self._first_strain(action, bite, self._strain, self.stock.flange_mm)
        return self.stock.struck[action].kink_per_strain_rad * one

    def _first_strain(self, action: str, bite: str, hardened: Array, flange_mm: float) -> Array:
        """(n,) strain of its patch, as much as bends the bar, by a first stroke on an edge so hard (n,)."""
        stock, truth, tool = self.stock, self.truth, self.stock.struck[action].tool
        strength = truth.bite_work(bite, tool.bites[bite]) * tool.strain_per_stroke
        nominal = strength * truth.common * truth.action[action]
        softness = 1.0 / (1.0 + hardened / truth.hardening_strain)
        to_end = np.minimum(stock.stations_mm, stock.line.length_mm - stock.stations_mm)
        return nominal * self._uneven * softness * truth.end_share(to_end, flange_mm)

    def bow_mm(self) -> float:
        """True bow out of the plane: the heel line at mid-length over its two ends."""
        return self._bow.middle_mm

    def bow(self) -> float:
        """The same as an operator reads it on a bench plate, in tenths of a mm."""
        return round(self.bow_mm() + self.truth.bow_reading_mm * self._reading_rng.normal(), 1)

    def work_done_rad(self) -> Array:
        """(n,) kinks put in so far by strokes at each station, shrinking positive."""
        return self._work.copy()

    def stock_kinks_rad(self) -> Array:
        """(n,) heading change that each station's zone had before the first stroke."""
        headings = np.concatenate([[0.0], np.cumsum(self._raw * np.diff(self._edges))])
        half, at = 0.5 * self.stock.width_mm, self.stock.stations_mm
        start = np.interp(at - half, self._edges, headings)
        kinks: Array = np.interp(at + half, self._edges, headings) - start
        return kinks

    def gaps(
        self, template: Template | None = None, gauge: Gauge | None = None, reseat: bool = True
    ) -> list[float | str | None]:
        """One reading a station, as an operator gives it: a number in mm rounded to the gauge's step,
        "touching", "beyond" (wider than the gauge reaches) or None where the template cannot be read.

        template, gauge : none for the job's; reseat : False reads again as the template lies.
        """
        template = template or self.stock.template
        true = self._offer(template, reseat)
        return read_off(true, gauge or self.stock.gauge, template.rigid, self._reading_rng)

    def rise(self, chord_mm: float, action: str, gauge: Gauge | None = None) -> tuple[float, Gauge]:
        """Rise at the middle of a chord about the middle of the bar, as an operator reads it, and by what:
        the steel rule where the gauge ends. Read on the side that the action makes hollow.

        chord_mm : between its marks, along the bar; gauge : none for the job's
        """
        gauge = gauge or self.stock.gauge
        marks = 0.5 * (self.stock.line.length_mm + chord_mm * np.array([-1.0, 0.0, 1.0]))
        near, middle, far = self.points_mm(marks)
        along = (far - near) / np.hypot(*(far - near))
        aside = along[1] * (middle - near)[0] - along[0] * (middle - near)[1]  # > 0 right of the chord
        true = np.array([aside * metal.SIGNS[action]])
        if true > gauge.largest_mm:
            gauge = GAUGES[COARSE]
        return float(read_off(true, gauge, False, self._reading_rng)[0]), gauge  # type: ignore[arg-type]

    def gaps_by_any_gauge(
        self, template: Template | None = None, reseat: bool = True
    ) -> tuple[list[float | str | None], list[str | None]]:
        """A whole round as it is really taken: the job's gauge, and the steel rule where that ends.

        Returns the readings and, station by station, the gauge's name where it was not the job's.
        """
        fine = self.gaps(template, reseat=reseat)
        coarse = self.gaps(template, GAUGES[COARSE], reseat=False)
        return whole_round(fine, coarse)

    def widest_gap_mm(self, template: Template | None = None, at_mm: Array | None = None) -> float:
        """True widest gap against the line as drawn, under the best seating.

        Rigid template: no overlap; others: the largest deviation either way. at_mm : (r,) where it counts
        (none: all the way from the first station to the last; what lies outside them is never read, and
        strokes can hardly bend it).
        """
        template = template or self.stock.template
        curve = self._curve()
        if template.chord_mm:
            return float(
                np.nanmax(np.abs(sweep_readings(curve, self.stock.line, self._stations(), template.chord_mm)))
            )
        points = self._along() if at_mm is None else at_mm
        return offered(curve, self.stock.line, points, template).widest_mm

    def true_deviation_mm(self, template: Template | None = None) -> Array:
        """(n,) true outward deviation at the stations under the best seating."""
        template = template or self.stock.template
        best = offered(self._curve(), self.stock.line, self._along(), template)
        return best.gaps_at(self._stations()) * template.sign

    def points_mm(self, s_mm: Array) -> Array:
        """(r, 2) true points of the heel line at arc lengths s, from the origin along x."""
        return self._curve().at(s_mm)[0]

    def _places(self, m: Array) -> metal.Places:
        """Strokes follow one another along their zone, as the bar is fed; a single one is in its middle."""
        some = np.maximum(m, 1.0)
        off = self.truth.placement_mm * self._metal_rng.normal(size=len(m)) / np.sqrt(some)
        along = self.stock.width_mm * (1.0 - 1.0 / some)
        return metal.Places(self.stock.stations_mm + off, along, self.truth.spread * self.stock.flange_mm)

    def _curve(self) -> Curve:
        return Curve(self._edges, self._curvature, self._aside)

    def _stations(self) -> Array:
        return self.stock.stations_mm

    def _along(self) -> Array:
        """What the template covers: first to last station, so close that nothing wider hides between."""
        first, last = self.stock.stations_mm[[0, -1]]
        even = np.linspace(first, last, int(np.ceil((last - first) / 12.0)) + 1)
        return np.union1d(even, self._stations())

    def _offer(self, template: Template, reseat: bool) -> Array:
        """(n,) true gaps as the template lies now; NaN where there is no bar to read."""
        line, truth = self.stock.line, self.truth
        if template.chord_mm:
            return sweep_readings(self._curve(), line, self._stations(), template.chord_mm)
        if reseat or self._seat is None or self._seat[0] != template:
            seat = seat_of(self._curve(), line, self._along(), template, truth, self._reading_rng)
            self._seat = (template, seat)
        return self._seat[1].readable_gaps_at(self._stations())
