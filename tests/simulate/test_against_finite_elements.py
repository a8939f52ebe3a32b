"""The simulated bar's movement against 20-node solid elements (tests/reference/fe_influence_*.csv)."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from core.geometry.section_shapes import section_from
from core.geometry.segments import from_segments
from core.geometry.stroke import stroke_effect
from core.jobtypes import Tool
from core.simulate import SimulatedBar, Stock, Struck, Truth, Twist
from core.simulate.metal import Places, spread_kinks

REFERENCE = Path(__file__).parents[1] / "reference"
SECTIONS = {
    "angle": {"shape": "angle", "worked": 40.0, "other": 40.0, "thickness": 1.5},
    "channel_both": {"shape": "channel", "web": 60.0, "flange": 30.0, "thickness": 1.5, "worked": "both"},
    "channel_one": {"shape": "channel", "web": 60.0, "flange": 30.0, "thickness": 1.5, "worked": "one"},
}
STROKES_AT = 12.5 + 25.0 * np.arange(36)
STRAIN = 1e-4


def influence(name: str) -> tuple[np.ndarray, np.ndarray]:
    """Places (73,) and in-plane motion of the heel line (73, 36), mm per unit of shortening."""
    lines = (REFERENCE / f"fe_influence_{name}.csv").read_text().splitlines()
    rows = [r for r in csv.reader(line for line in lines if not line.startswith("#")) if r]
    inplane = np.array([[float(v) for v in r[1:]] for r in rows[1:] if r[0] == "v_inplane_mm"])
    return inplane[:, 0], -inplane[:, 1:]


def stock(name: str) -> Stock:
    section = section_from(**SECTIONS[name])
    effect = stroke_effect(section, 20.0, 15.0)
    w = effect.warping
    return Stock(
        line=from_segments([(900.0, None)]),
        stations_mm=STROKES_AT,
        width_mm=np.full(36, 25.0),
        flange_mm=section.flange_mm,
        edge_mm=section.worked_edge_distance_mm,
        struck={"shrink": Struck(Tool(20.0, 15.0, STRAIN, {"medium": 1.0}), effect.kink_per_strain_rad)},
        twist=w and Twist(w.decay_mm, w.kink_per_strain, w.heel_lever_mm, w.end.reach_mm),
    )


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("station", [2, 6, 12, 18, 29, 33])
def test_one_stroke_moves_the_bar_as_the_solid_elements_do(name: str, station: int) -> None:
    """Shapes compared with the best straight line taken out; within 2 per cent of the largest movement
    from one and a half flange widths inwards, twisting sections included."""
    s, motion = influence(name)
    bar = SimulatedBar(stock(name), Truth(), seed=1)
    bar.work("shrink", "medium", [int(j == station) for j in range(36)])
    straight = np.column_stack([np.ones(len(s)), s])

    def shape(v: np.ndarray) -> np.ndarray:
        return v - straight @ np.linalg.lstsq(straight, v, rcond=None)[0]

    expected = shape(motion[:, station])
    moved = shape(bar.points_mm(s)[:, 1] / STRAIN)
    assert np.max(np.abs(moved - expected)) < 0.02 * np.max(np.abs(expected))


def test_kink_is_spread_as_far_as_in_the_solid_elements() -> None:
    """Heading of the heel changes from 10 to 90 per cent over 12.6 to 24.4 mm for patches 5 to 30 mm deep
    on an angle 40x40x1.5 (width_heel_10_90_mm); drawn bars spread it over 0.8 to 1.2 flange widths."""
    edges = np.linspace(0.0, 400.0, 4001)
    for share in (0.8, 1.2):
        turned = (
            np.cumsum(spread_kinks(edges, Places(np.array([200.0]), np.zeros(1), share * 40.0), np.ones(1)))
            * 0.1
        )
        ten, ninety = np.interp([0.1, 0.9], turned, edges[1:])
        assert 12.6 <= ninety - ten <= 24.4
        assert turned[-1] == pytest.approx(1.0)


def test_kinks_of_strokes_along_a_zone_are_as_a_row_of_single_ones() -> None:
    """Forty strokes 1 mm apart against the closed form of the whole row (superposition)."""
    edges = np.linspace(0.0, 400.0, 201)
    row = np.arange(40) - 19.5 + 200.0
    singly = spread_kinks(edges, Places(row, np.zeros(40), 30.0), np.full(40, 1.0 / 40))
    at_once = spread_kinks(edges, Places(np.array([200.0]), np.array([40.0]), 30.0), np.ones(1))
    np.testing.assert_allclose(at_once, singly, atol=2e-3 * singly.max())
