"""A turned flange as a part: work, gaps at its tip, strain of its edge, what the square sees."""

from __future__ import annotations

import re
from itertools import takewhile

import numpy as np
import pytest

import core
from core.geometry.flange_strain import edge_shortening
from core.kinds.base import LaidAlong, Part, TurnedEdge
from core.kinds.flange import FlangePart
from core.kinds.flange_document import cut_diameter_mm
from core.readings.offering import offer
from tests.made_up import OUTLINES, flange

BLANK = 20 - 2 * 4.5 + np.pi / 2 * (3 + 0.0078 * 180 / np.pi * 1.5)  # beyond the outline: legs less setbacks
EVERY = pytest.mark.parametrize("outline", OUTLINES)


def part_of(outline: str, **changes: object) -> FlangePart:
    part = core.job(flange(**{"outline": OUTLINES[outline], "start_angle": "10 deg", **changes})).part
    assert isinstance(part, FlangePart)
    return part


@EVERY
def test_without_work_left_it_lies_on_the_square(outline: str) -> None:
    job = core.job(flange(outline=OUTLINES[outline]))
    assert offer(job.part, job.template, np.zeros(len(job.part.sites))).widest_mm < 1e-9


@EVERY
def test_tipped_it_lacks_what_is_left_of_the_angle(outline: str) -> None:
    """By hand: 20 mm sin(90 - 15 degrees) = 19.319 mm, and 20 mm sin(45 - 15 degrees) = 10 mm."""
    for angle, gap in (("90 deg", 19.3185), ("45 deg", 10.0)):
        part = part_of(outline, angle=angle, start_angle="15 deg")
        assert np.degrees(part.angles_rad(part.target)) == pytest.approx(np.full(len(part.target), 15.0))
        assert part.linearise(part.target).deviation_mm == pytest.approx(
            np.full(len(part.target), gap), abs=1e-3
        )


@EVERY
def test_how_well_the_tipped_angle_is_known(outline: str) -> None:
    """A degree and a half (common practice, no source), whatever the work near the flat plate counts for."""
    part = part_of(outline, start_angle="20 deg")
    step = 1e-3 * part.stock_sd
    turn = np.abs(part.angles_rad(part.target + step) - part.angles_rad(part.target - step))
    assert np.degrees(turn) == pytest.approx(np.full(len(step), 2e-3 * 1.5), rel=1e-4)


def test_no_pass_of_a_plan_is_said_to_leave_more_than_the_flange_is_high() -> None:
    """Sectors that wait for the other action stand as they were tipped until it begins: 20 mm sin(80
    degrees), in a later pass of the plan as in the next."""
    advice = core.refit(core.job(flange(outline=OUTLINES["mixed"], start_angle="10 deg")), [])
    first, last = advice.remaining[0].action, advice.remaining[-1].action
    waiting = [p.expected_gap_mm for p in takewhile(lambda p: p.action == first, advice.remaining)]
    assert len(waiting) > 1 and last != first
    assert waiting == pytest.approx([20 * np.sin(np.radians(80))] * len(waiting), abs=0.02)
    assert not any("widens the gap" in reason for reason in advice.reasons)


def test_the_side_of_the_work() -> None:
    """Convex shrinks, concave stretches; a straight goes with the convex arc and strains nothing."""
    part = part_of("mixed")
    convex, straight, concave = slice(0, 10), slice(10, 15), slice(15, 20)
    assert np.all(part.target[convex] > 0) and np.all(part.target[concave] < 0)
    assert np.all(part.target[straight] > 0) and np.all(part.edge_strain(part.target)[straight] == 0)
    assert np.all(part_of("straight").target > 0)
    assert np.all(part_of("saddle").target < 0)


@EVERY
def test_work_and_angle_agree_at_the_finished_angle(outline: str) -> None:
    """Work is the angle still to be turned to the first order there; a degree of work is about a degree."""
    part = part_of(outline, angle="60 deg")
    work = part.sides * np.radians(1.0)
    assert np.degrees(part.angles_rad(work)) == pytest.approx(np.full(len(work), 59.0), abs=0.03)
    assert np.degrees(part.angles_rad(-work)) == pytest.approx(np.full(len(work), 61.0), abs=0.03)


@pytest.mark.parametrize("outline", ["rim", "hole"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_the_edge_has_the_strain_of_its_angle(outline: str, share: float) -> None:
    """Whatever part of the work is done: ln((R + b cos a)/(R + b)) and its like (textbooks, from memory), b
    what the blank goes beyond the outline, from the angle before to the angle after, though the angle goes
    with the strain in no proportion."""
    part = part_of(outline)
    curvature = part.sectors.curvature_per_mm
    done = share * part.target
    before, after = part.angles_rad(part.target), part.angles_rad(part.target - done)
    expected = edge_shortening(curvature, BLANK, after) - edge_shortening(curvature, BLANK, before)
    assert part.edge_strain(done) == pytest.approx(expected)
    assert np.all(np.sign(part.edge_strain(done)) == np.sign(part.target))
    turned = (after - before) / (np.pi / 2 - before)
    assert np.all(turned > share + 0.02)  # the first strokes turn it most


def test_what_is_asked_of_the_metal() -> None:
    """From the edge of the blank that is cut to the outline: discs and holes of 633.53 mm and 166.47 mm for
    600 mm and 200 mm (any handbook's bend deduction); thickness by volume."""
    rim, hole = part_of("rim"), part_of("hole")
    assert rim.asked_strain() == pytest.approx(np.full(47, np.log(633.53 / 600)), abs=2e-5)
    assert hole.asked_strain() == pytest.approx(np.full(16, -np.log(200 / 166.47)), abs=2e-5)
    assert rim.thickness_mm(rim.asked_strain())[0] == pytest.approx(1.5 * np.sqrt(633.53 / 600), rel=1e-4)
    assert hole.thickness_mm(hole.asked_strain())[0] == pytest.approx(1.5 * np.sqrt(166.47 / 200), rel=1e-4)


@pytest.mark.parametrize("outline", ["rim", "hole"])
@pytest.mark.parametrize("angle", [30, 60, 90])
def test_the_edge_comes_to_within_the_thickness_of_where_it_ends(outline: str, angle: int) -> None:
    """The blank that is cut, strained as is said, against the finished flange: its edge reaches from the
    outer face, h cos a from the outline, inwards by the thickness (1.5 mm sin a)."""
    part, side = part_of(outline, angle=f"{angle} deg"), 1.0 if outline == "rim" else -1.0
    blank, turn = cut_diameter_mm(part), np.radians(angle)
    assert blank is not None
    ends = 0.5 * blank * np.exp(-part.asked_strain()[0])
    away = side * (ends - (300.0 if outline == "rim" else 100.0))
    assert 20 * np.cos(turn) - 1.5 * np.sin(turn) <= away <= 20 * np.cos(turn) + 1e-9


@EVERY
@pytest.mark.parametrize("share", [0.0, 0.3, 0.9])
def test_slopes_are_those_of_the_gaps(outline: str, share: float) -> None:
    part = part_of(outline, pitch="60 mm")
    at = np.sort(np.concatenate([part.sites.position_mm, part.sectors.ends_mm[:, 1]]))
    work = share * part.target * np.linspace(0.8, 1.0, len(part.target))
    here, step = part.linearise(work, None, at), 1e-6
    for j, one in enumerate(np.eye(len(work))):
        beyond, before = (part.linearise(work + by * one, None, at) for by in (step, -step))
        central = (beyond.deviation_mm - before.deviation_mm) / (2 * step)
        assert here.influence[:, j] == pytest.approx(central, abs=1e-6)
    assert here.seating.shape == (len(at), 0)


def test_a_sector_takes_its_neighbours_along_only_as_far_as_its_twist_gives() -> None:
    """Half a pitch of 40 mm away, at the edge of the sector, half; at the next middles a few per cent."""
    part = part_of("rim")
    shares = part.linearise(np.zeros(47)).influence / 20.0
    assert shares.sum(axis=1) == pytest.approx(np.ones(47))
    assert np.all(np.diag(shares) > 0.85) and np.all(shares >= 0.0)
    assert shares[0, -1] == pytest.approx(shares[0, 1])  # a ring has no ends
    assert 0.01 < shares[5, 6] < 0.08
    edge = part.linearise(np.zeros(47), None, part.sectors.ends_mm[4:5, 1]).influence[0] / 20.0
    assert edge[4] == pytest.approx(edge[5]) and 0.45 < edge[4] < 0.5


def test_a_stroke_turns_what_the_balance_of_the_strip_says() -> None:
    """By hand at 90 degrees: 3/2 (1 - (1 - 15/b)^2) R/b for a patch of 15 mm, over half the pitch."""
    part = part_of("rim", pitch_mm=600 * np.pi / 47, pitch=...)
    expected = 1.5 * (1 - (1 - 15 / BLANK) ** 2) * 300 / BLANK * 20 / (600 * np.pi / 47)
    assert part.work_per_strain() == pytest.approx(np.full(47, expected))


def test_where_the_edge_does_not_turn_it_the_tool_folds() -> None:
    """2 h^2/t = 533 mm: an arc of 520 mm is turned by its edge, one of 550 mm folded, by 2 degrees a
    stroke."""
    segments = [["200 mm", "520 mm"], ["200 mm", "550 mm"], ["200 mm", None]]
    part = core.job(flange(outline={"segments": segments}, start_angle="10 deg")).part
    assert isinstance(part, FlangePart)
    assert part.folded.tolist() == [False] * 5 + [True] * 10
    assert part.work_per_strain()[5:] * 0.004 == pytest.approx(np.full(10, np.radians(2.0) * 20 / 40))
    assert part.target[5:] == pytest.approx(np.full(10, np.radians(80.0)))
    assert part.edge_strain(part.target)[5] == pytest.approx(80 / 90 * np.log((550 + BLANK) / 550), rel=1e-9)


def test_the_blank_of_a_circle_and_of_no_circle() -> None:
    assert cut_diameter_mm(part_of("rim")) == pytest.approx(633.53, abs=0.01)
    assert cut_diameter_mm(part_of("hole")) == pytest.approx(166.47, abs=0.01)
    assert cut_diameter_mm(part_of("saddle")) is None


@EVERY
def test_it_is_a_part_turned_from_a_plate_and_no_bent_edge(outline: str) -> None:
    part: Part = part_of(outline)
    assert isinstance(part, TurnedEdge) and not isinstance(part, LaidAlong)
    assert not isinstance(core.job(flange()).part, LaidAlong)
    assert len(part.outline()) > 100 and part.other_edge() is None and part.side_effects(part.target) == {}
    assert part.worked_depth_mm == 20.0
    assert part.inside_radius_mm == {"rim": 300, "hole": 100, "straight": np.inf}.get(outline, 200)
    assert part.inside_angle_rad == pytest.approx(np.pi - part.bend.angle_rad)


def test_the_highest_flange_uses_the_limit_up() -> None:
    """The sentence for a metal that takes less: 25 % in all, as the job has it, round a hole of 120 mm:
    60 (1 - exp(-0.25)) and the deduction; or as much of a wider hole."""
    job = core.job(flange(outline={"hole": "120 mm"}))
    (said,) = [w for w in job.warnings if "in the whole job" in w]
    assert "The highest flange of this outline within it is about 16.5 mm." in said
    assert "has to get 38.8 % longer, and may get 28.4 % longer" in said  # 120/86.46, exp(0.25)
    lower = core.job(flange(outline={"hole": "120 mm"}, height="16.51 mm", tool__patch_depth="10 mm"))
    assert lower.part.asked_strain()[0] == pytest.approx(-0.25, abs=1e-3)
    found = re.search(r"outline with this flange within it is about ([0-9.]+) mm", said)
    assert found is not None
    wider = core.job(flange(outline={"hole": f"{2 * float(found[1])} mm"}))
    assert wider.part.asked_strain()[0] == pytest.approx(-0.25, abs=1e-3)
