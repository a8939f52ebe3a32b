"""A section bar as a part: work, influence with twist, edge strain, side effects."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.geometry.heel import beam_movement
from core.readings.offering import offer
from core.readings.seating import rigid_free
from tests.made_up import LINES, SECTIONS, rib

N = 30
AT = 20.0 + 40.0 * np.arange(N)


@pytest.mark.parametrize("form", LINES)
def test_work_asked_is_the_whole_turn_of_the_line(form: str) -> None:
    """Kinks add up to the heading at the far end less that at the near one."""
    part = core.job(rib(line=LINES[form])).part
    turn = part.line.heading_rad(part.length_mm) - part.line.heading_rad(0.0)
    assert part.target.sum() == pytest.approx(float(turn), abs=1e-9)


def test_an_s_shape_asks_for_both() -> None:
    part = core.job(rib(line=LINES["segments"])).part
    assert part.target[:9].min() > 0 and part.target[-9:].max() < 0


@pytest.mark.parametrize("section", SECTIONS)
def test_a_part_without_work_left_lies_on_its_template(section: str) -> None:
    """Kinks are shorter than their zones, and a twisting bar meets its line in the least squares only:
    what is left is well below any tolerance. Shallow, since twist theory is linear."""
    job = core.job(rib(section=SECTIONS[section], line={"radius": "4000 mm", "length": "1200 mm"}))
    assert offer(job.part, job.template, np.zeros(N)).widest_mm < 0.08


@pytest.mark.parametrize("name", ["channel, one", "Z"])
def test_twist_moves_the_heel_as_thin_walled_torsion_says(name: str) -> None:
    """On a straight line the influence is that of the hinge plus the twist of core.geometry.heel, which is
    held against finite elements in tests/geometry/test_stroke.py; compared with rigid motion taken out."""
    job = core.job(rib(section=SECTIONS[name], line={"segments": [["1200 mm", None]]}))
    part = job.part
    here = part.linearise(np.zeros(N))
    patch = job.tool.patch_length_mm
    heel = beam_movement(part.effect, AT, AT, 1200.0, patch).in_plane_mm
    free = rigid_free(here.seating)
    expected = free @ heel / part.effect.kink_per_strain_rad  # > 0 where the work is still to be done
    found = free @ here.influence
    np.testing.assert_allclose(found, expected, atol=0.01 * np.abs(expected).max())
    hinge = free @ np.maximum(AT[:, None] - AT, 0.0)
    assert np.abs(found - hinge).max() > 0.1 * np.abs(hinge).max()  # the twist is worth having


def test_edge_strain_is_that_of_the_finished_edge() -> None:
    """By hand, a flat bar d = 30 mm deep pulled short at its very edge: plain bending of a rectangle by a
    force F at d/2 gives a curvature 6 F/(E A d) and makes the other edge, the heel, longer by 2 F/(E A), d/3
    over the radius. The worked edge is (R - d)/R of the heel; its natural strain is what counts."""
    document = rib(section=SECTIONS["flat bar"], line={"radius": "200 mm", "length": "240 mm"})
    document["tool"] = {**document["tool"], "patch_depth": "0.01 mm"}
    part = core.job(document).part
    depth, radius = 30.0, 200.0
    expected = -np.log((radius - depth) / radius) - depth / 3.0 / radius
    np.testing.assert_allclose(part.asked_strain(), expected, rtol=1e-3)
    # Of the work that does it, never less: the last kinks strain an edge of (R - d)/R by R/(R - d) as much.
    counted = part.edge_strain(part.target)[2:-2]
    np.testing.assert_allclose(counted, depth / (radius - depth) - depth / 3.0 / radius, rtol=1e-3)
    assert np.all(counted > expected)


def test_a_deeper_patch_leaves_the_edge_nearly_as_long() -> None:
    """The finished shape sets the strain of its edge, whatever the tool: only the heel gives a little way."""
    asked = [
        core.job(rib(tool={**rib()["tool"], "patch_depth": depth})).part.asked_strain()[5]
        for depth in ("8 mm", "24 mm")
    ]
    assert asked[0] == pytest.approx(asked[1], rel=0.25)
    assert min(asked) < -np.log(1.0 - 40.0 / 1500.0) + 5.0 / 1500.0


def test_stretching_puts_in_negative_strain() -> None:
    part = core.job(rib()).part
    np.testing.assert_allclose(part.edge_strain(-part.target), -part.edge_strain(part.target))


def test_a_stroke_near_the_end_does_less() -> None:
    per_strain = core.job(
        rib(pitch="10 mm", line={"radius": "1500 mm", "length": "400 mm"})
    ).part.work_per_strain()
    assert np.all(np.diff(per_strain[:20]) >= 0) and per_strain[0] < 0.5 * per_strain[15]


def test_side_effects_of_a_symmetric_section_are_none() -> None:
    part = core.job(rib(section=SECTIONS["T"])).part
    assert abs(part.side_effects(part.target)["bow_mm"]) < 1e-6
    assert part.side_effects(part.target)["twist_rad"] == 0.0


def test_bow_of_an_angle_is_a_circle_s_sagitta() -> None:
    """Even work bends out of plane with a radius of kink/bow * R: bow = L^2/(8 R_out), from mid to ends."""
    part = core.job(rib()).part
    out = part.effect.bow_per_strain_rad / part.effect.kink_per_strain_rad / 1500.0
    inner = part.target.copy()
    inner[:2] = inner[-2:] = 0.0  # away from the ends, where strokes lose
    found = part.side_effects(inner)["bow_mm"]
    # Constant curvature over the worked length only, straight beyond it.
    worked, rest = 26 * 40.0, 2 * 40.0
    expected = -out * (worked**2 / 8.0 + worked / 2.0 * rest)
    assert found == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("name", ["channel, one", "Z"])
def test_bow_of_a_twisting_section_is_that_of_its_heel(name: str) -> None:
    """Bending and twist together, as core.geometry.heel moves the heel (held against finite elements)."""
    part = core.job(rib(section=SECTIONS[name])).part
    work = np.zeros(N)
    work[10:16] = 0.01
    at = np.array([0.0, 600.0, 1200.0])
    moved = beam_movement(part.effect, at, AT, 1200.0, part.patch_length_mm)
    heel = moved.out_of_plane_mm @ (work / part.effect.kink_per_strain_rad)
    found = part.side_effects(work)["bow_mm"]
    assert found == pytest.approx(heel[1] - 0.5 * (heel[0] + heel[2]), rel=1e-3)
    hinge = part.effect.bow_per_strain_rad * np.maximum(at[:, None] - AT, 0) @ work
    hinge = hinge / part.effect.kink_per_strain_rad
    assert abs(found) < 0.8 * abs(hinge[1] - 0.5 * (hinge[0] + hinge[2]))


def test_much_twist_is_cautioned_with_its_figure() -> None:
    """Linear torsion ends at about 0.2 rad."""
    for name, radius, wanted in [("Z", 1500, True), ("Z", 60000, False), ("angle", 1500, False)]:
        job = core.job(rib(section=SECTIONS[name], line={"radius": f"{radius} mm", "length": "1200 mm"}))
        twist = job.part.side_effects(job.part.target)["twist_rad"]
        told = [sentence for sentence in job.warnings if "turns about its length" in sentence]
        assert len(told) == wanted and (twist > 0.2) == wanted
        assert all(f"({twist:.2f} rad)" in sentence for sentence in told)


def test_positions_and_zones() -> None:
    sites = core.job(rib()).part.sites
    np.testing.assert_allclose(sites.position_mm, AT)
    np.testing.assert_allclose(sites.width_mm, 40.0)
    assert len(sites) == N and sites.label == "station"


@pytest.mark.parametrize(("strain_per_stroke", "reach_mm"), [(0.05, 0.65 * 20.0), (0.0005, 60.0)])
def test_between_stations_the_finished_bar_sags_as_its_kinks_are_spread(
    strain_per_stroke: float, reach_mm: float
) -> None:
    """Circle geometry: arcs of length r, one every p, straight between, lie within kappa p (p - r) / 8.

    A few strokes bend the bar at their marks only; many follow one another along the zone.
    """
    radius, pitch = 800.0, 60.0
    job = core.job(
        rib(
            line={"radius": f"{radius} mm", "length": "1200 mm"},
            pitch=f"{pitch} mm",
            section={"shape": "angle", "worked": "20 mm", "other": "20 mm", "thickness": "1.5 mm"},
            tool__strain_per_stroke=strain_per_stroke,
        )
    )
    s = np.linspace(300.0, 900.0, 241)
    there = job.part.linearise(np.zeros(len(job.part.sites)), at_mm=s)
    off = rigid_free(there.seating) @ there.deviation_mm
    assert np.ptp(off) == pytest.approx(pitch * (pitch - reach_mm) / (8.0 * radius), abs=0.03)
