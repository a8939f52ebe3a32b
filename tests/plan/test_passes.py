"""What a plan has to keep: whole strokes, limits, one tool and one bite a pass, the way to the end."""

from __future__ import annotations

from itertools import pairwise, product
from typing import Any

import numpy as np
import pytest

import core
from core.plan.feed import feed_zones
from core.plan.rounding import Aim, whole_strokes
from tests.made_up import LINES, SECTIONS, rib
from tests.strains import expected, nominal

N = 30
JOBS: dict[str, dict[str, Any]] = {
    "arc": rib(),
    "tight arc": rib(line={"radius": "700 mm", "length": "1200 mm"}),
    "many passes": rib(line={"radius": "186 mm", "length": "300 mm"}),
    "flat arc": rib(line={"radius": "6000 mm", "length": "800 mm"}),
    "S-shape": rib(line=LINES["segments"]),
    "offsets": rib(line=LINES["offsets"]),
    "twisting": rib(line={"radius": "4000 mm", "length": "800 mm"}, section=SECTIONS["Z"]),
    "layout line": rib(template="layout line", gauge="dial"),
    "little strain": rib(limits={"strain_per_pass": 0.008}),
}


@pytest.fixture(scope="module", params=JOBS)
def planned(request: pytest.FixtureRequest) -> tuple[core.Job, core.Advice]:
    job = core.job(JOBS[request.param])
    return job, core.refit(job, [])


def test_strokes_are_whole_and_one_a_station(planned: tuple[core.Job, core.Advice]) -> None:
    job, advice = planned
    assert advice.remaining and advice.next_pass is advice.remaining[0]
    for step in advice.remaining:
        assert step.strokes.dtype == np.int64 and step.strokes.shape == (len(job.part.sites),)
        assert step.strokes.min() >= 0 and step.total == step.strokes.sum() > 0
        assert step.action in ("shrink", "stretch") and step.bite in job.tool.bites


def test_no_pass_strains_the_edge_beyond_its_limits(planned: tuple[core.Job, core.Advice]) -> None:
    """The strain that each pass is expected to do, worked out by hand in tests.strains."""
    job, advice = planned
    total, hardened = np.zeros(len(job.part.sites)), np.zeros(len(job.part.sites))
    for step in advice.remaining:
        added = expected(job, step, hardened)
        assert added.max() <= job.limits.per_pass.strain * (1 + 1e-9)
        total, hardened = total + added, hardened + nominal(job, step)
    assert total.max() <= job.limits.in_all.strain * (1 + 1e-9)


def test_zones_say_the_same_as_the_strokes(planned: tuple[core.Job, core.Advice]) -> None:
    job, advice = planned
    for step in advice.remaining:
        counts = np.zeros(len(job.part.sites), dtype=int)
        for zone in step.feed:
            counts[zone.first : zone.last + 1] = zone.strokes
            length = job.part.sites.width_mm[zone.first : zone.last + 1].sum()
            strokes = zone.strokes * (zone.last - zone.first + 1)
            assert zone.seconds == pytest.approx(strokes * 60.0 / job.tool.strokes_per_minute)
            assert zone.feed_mm_per_s * zone.seconds == pytest.approx(length)
        np.testing.assert_array_equal(counts, step.strokes)
        for one, other in pairwise(step.feed):
            assert other.first > one.last
            assert other.first > one.last + 1 or other.strokes != one.strokes


ONE_CURVATURE = ["arc", "tight arc", "flat arc", "offsets", "twisting", "layout line"]


@pytest.mark.parametrize("name", ONE_CURVATURE)
def test_one_curvature_takes_one_action_and_comes_nearer_with_every_pass(name: str) -> None:
    job = core.job(JOBS[name])
    advice = core.refit(job, [])
    assert {p.action for p in advice.remaining} == {"shrink"}
    gaps = [p.expected_gap_mm for p in advice.remaining]
    assert all(after < before for before, after in pairwise(gaps))
    assert len(gaps) <= 6
    assert gaps[-1] <= 2.0 * job.tolerance_mm


@pytest.mark.parametrize("name", [*ONE_CURVATURE, "little strain"])
def test_a_plan_ends_within_the_tolerance(name: str) -> None:
    """Or so near to it that nobody can tell beforehand, and then the plan says so."""
    job = core.job(JOBS[name])
    advice = core.refit(job, [])
    last = advice.remaining[-1]
    if last.expected_gap_mm > job.tolerance_mm:
        assert last.expected_gap_mm - last.expected_gap_sd_mm <= job.tolerance_mm
        assert any("more passes than these may be needed" in reason for reason in advice.reasons)


def test_the_ends_are_worked_like_their_neighbours() -> None:
    """Nobody reads beyond the last station, yet what stays flat there shows."""
    job = core.job(rib(line={"radius": "600 mm", "length": "500 mm"}))
    strokes = sum(p.strokes for p in core.refit(job, []).remaining)
    for end, beside in ((0, slice(1, 4)), (-1, slice(-4, -1))):
        assert strokes[end] >= 0.7 * strokes[beside].mean()


def test_limits_of_strain_make_more_passes() -> None:
    usual, held = (core.refit(core.job(JOBS[name]), []) for name in ("arc", "little strain"))
    assert len(held.remaining) > len(usual.remaining)


def test_an_s_shape_takes_both_actions_and_one_change_of_tool() -> None:
    job = core.job(JOBS["S-shape"])
    advice = core.refit(job, [])
    actions = [p.action for p in advice.remaining]
    assert set(actions) == {"shrink", "stretch"}
    assert sum(a != b for a, b in pairwise(actions)) == 1
    for action, wanted in (("shrink", job.part.target), ("stretch", -job.part.target)):
        strokes = sum(p.strokes for p in advice.remaining if p.action == action)
        # the second action also takes back what the first, not knowing the metal, went beyond
        assert strokes[wanted > 1e-3].sum() > 0.85 * strokes.sum()
    # in whole strokes of one action the last tenths may stay; the plan then says that it ends outside
    end_mm = advice.remaining[-1].expected_gap_mm
    assert end_mm <= 1.3 * job.tolerance_mm
    assert any("This plan ends at" in r for r in advice.reasons) == (end_mm > job.tolerance_mm)


def bowl(job: core.Job, depth_mm: float) -> core.Advice:
    """Advice where all work was done by the first guess and the gaps read as a bowl of this depth."""
    one = job.part.work_per_strain() * job.tool.strain("medium")
    done = core.pass_done("shrink", np.round(job.part.target / one).astype(int).tolist())
    return core.refit(job, [done, core.gaps_read((depth_mm * np.linspace(-1.0, 1.0, N) ** 2).tolist())])


def test_far_away_a_heavy_bite_and_a_light_one_to_finish() -> None:
    """A straight bar for a radius of 700 mm; and bars that lack a millimetre or less, or two."""
    far = core.refit(core.job(JOBS["tight arc"]), []).next_pass
    assert far is not None and far.bite == "heavy"
    job = core.job(JOBS["arc"])
    for depth, bites in ((0.6, {"light"}), (1.0, {"light"}), (2.0, {"light", "medium"})):
        near = bowl(job, depth).next_pass
        assert near is not None and near.bite in bites and near.action == "shrink"
        assert near.expected_gap_mm < depth


def test_a_sweep_asks_for_work() -> None:
    """A straight bar reads 3.3 mm under a sweep of 200 mm for a radius of 1500 mm."""
    job = core.job(rib(template={"sweep": "200 mm"}, gauge="dial"))
    advice = core.refit(job, [])
    assert advice.widest_gap_mm == pytest.approx(3.3, rel=0.02)
    assert advice.next_pass is not None and advice.next_pass.action == "shrink"


def test_one_tool_and_bite_known_by_heart_needs_one_pass() -> None:
    """Nothing unknown and no scatter: the first pass is the last but for the rounding."""
    sure: dict[str, Any] = dict.fromkeys(
        (
            "common_sd",
            "action_sd",
            "bite_sd",
            "bite_exponent_sd",
            "uneven_sd",
            "neighbours_sd",
            "hardening_sd",
            "exponent_sd",
        ),
        1e-4,
    )
    job = core.job(rib(response={**sure, "scatter": 0.01}, tolerance="2 mm"))
    advice = core.refit(job, [])
    assert len(advice.remaining) <= 2


@pytest.mark.parametrize("hardening", [12.0, 40.0])
def test_a_deeper_bite_where_the_metal_has_run_out(hardening: float) -> None:
    """Of bars that lack the same, 4 to 6 mm at the widest, the one that is worked out is given a bite as
    deep as the annealed one or deeper, never a lighter one, and more work in all.

    There are three bites, each about twice the one before, and the same one may suit both bars: so it is not
    deeper in every state, but in two of six at least.
    """
    job = core.job(rib(response={"hardening": hardening, "hardening_sd": 0.1}))
    one = job.part.work_per_strain() * job.tool.strain("medium")
    straight = np.asarray(core.refit(job, []).deviation_mm)
    share = (straight - straight.min()) / np.ptp(straight)
    depths = []
    for left_mm in (4.0, 5.0, 6.0):
        gaps = core.gaps_read((np.round(2.0 * left_mm * share) / 2.0).tolist(), gauge="steel rule")
        for done in (0.7, 1.0):
            strokes = np.round(done * job.part.target / one).astype(int).tolist()
            log = [core.pass_done("shrink", strokes), gaps]
            spent, annealed = core.refit(job, log), core.refit(job, [*log, core.annealed()])
            assert _effort(job, annealed) < _effort(job, spent)
            depths.append(tuple(_next_depth(job, advice) for advice in (spent, annealed)))
    assert all(spent >= annealed for spent, annealed in depths), depths
    assert sum(spent > annealed for spent, annealed in depths) >= 2, depths


def _effort(job: core.Job, advice: core.Advice) -> float:
    """Strokes still planned, in strokes of a medium bite."""
    return sum(p.total * job.tool.bites[p.bite] for p in advice.remaining)


def _next_depth(job: core.Job, advice: core.Advice) -> float:
    assert advice.next_pass is not None and advice.next_pass.action == "shrink"
    return job.tool.bites[advice.next_pass.bite]


def test_nothing_is_planned_for_a_part_that_is_within() -> None:
    job = core.job(rib())
    one = job.part.work_per_strain() * job.tool.strain("medium")
    strokes = np.round(job.part.target / one).astype(int).tolist()
    advice = core.refit(job, [core.pass_done("shrink", strokes), core.gaps_read([0.1] * N)])
    assert advice.verdict == "within" and advice.remaining == ()


@pytest.mark.parametrize("rate", [60.0, 200.0])
def test_feed_of_a_zone(rate: float) -> None:
    """A zone of length l with m strokes a station in k stations, f strokes a minute: 60 m k / f seconds."""
    job = core.job(rib())
    tool = core.Tool(20.0, 15.0, 0.004, {"medium": 1.0}, rate)
    zones = feed_zones(job.part.sites, tool, np.array([0, 3, 3, 3, 0, 2] + [0] * 24))
    assert [(z.first, z.last, z.strokes) for z in zones] == [(1, 3, 3), (5, 5, 2)]
    assert zones[0].seconds == pytest.approx(9 * 60.0 / rate)
    assert zones[0].feed_mm_per_s == pytest.approx(120.0 / (9 * 60.0 / rate))


def hinges(sites: int) -> np.ndarray:
    """Readings by kinks, shift and tilt taken out, from two zones before the first site to two beyond."""
    read = np.arange(-2.0, sites + 2.0)
    free = np.maximum(read[:, None] - np.arange(sites), 0.0)
    line = np.column_stack([np.ones(len(read)), read])
    return free - line @ np.linalg.lstsq(line, free, rcond=None)[0]


def aim(wanted: np.ndarray, most: np.ndarray, free: np.ndarray, allowed: float) -> Aim:
    """Whole strokes near to these, where every stroke does 1."""
    nothing = np.zeros(len(free))
    return Aim(lambda m: 1.0 * m, most, wanted, nothing, free, lambda r: np.abs(r).max(axis=-1), allowed)


@pytest.mark.parametrize("seed", range(6))
def test_rounding_keeps_the_whole_turn(seed: int) -> None:
    """In all as many strokes as were aimed at, and readings nearer to the aim than by plain rounding."""
    rng = np.random.default_rng(seed)
    wanted = np.abs(rng.normal(2.5, 1.0, 40)) + 0.1
    free = hinges(40)
    counts = whole_strokes(wanted, aim(wanted, np.full(40, 8.0), free, 0.0))
    assert np.all(counts == np.round(counts)) and counts.min() >= 0 and counts.max() <= 8
    assert abs(counts.sum() - wanted.sum()) <= 2.0
    assert np.abs(free @ (counts - wanted)).max() < 0.8 * np.abs(free @ (np.round(wanted) - wanted)).max()


def test_rounding_stays_below_the_most_and_leaves_idle_sites_alone() -> None:
    wanted = np.array([0.0, 0.0, 5.0, 5.0, 5.0, 0.0, 2.0, 2.0])
    most = np.array([9.0, 9.0, 9.0, 3.0, 9.0, 9.0, 0.0, 9.0])
    counts = whole_strokes(wanted, aim(wanted, most, np.eye(8), 0.2))
    assert np.all(counts <= most)
    assert counts[0] == counts[1] == counts[5] == counts[6] == 0


def test_looser_aims_make_fewer_zones() -> None:
    rng = np.random.default_rng(3)
    wanted = 3.0 + 0.3 * rng.normal(size=40)
    zones = []
    for allowed in (0.0, 2.0, 50.0):
        counts = whole_strokes(wanted, aim(wanted, np.full(40, 9.0), hinges(40), allowed))
        zones.append(np.count_nonzero(np.diff(counts)))
    assert zones[0] >= zones[1] >= zones[2] and zones[0] > zones[2]


@pytest.mark.parametrize("seed", range(4))
def test_two_strokes_exchanged_together_find_what_one_cannot(seed: int) -> None:
    """Against every choice of 0, 1 or 2 strokes at 6 sites: within a fifth of the best gap there is."""
    rng = np.random.default_rng(seed)
    wanted = rng.uniform(0.0, 2.0, 6)
    free = hinges(6)
    counts = whole_strokes(wanted, aim(wanted, np.full(6, 2.0), free, 1e-3))
    every = np.array(list(product(range(3), repeat=6)), dtype=float)
    best = np.abs((every - wanted) @ free.T).max(axis=1).min()
    assert np.abs(free @ (counts - wanted)).max() <= 1.2 * best


def test_a_part_that_wants_many_passes_is_planned_to_its_end() -> None:
    """An edge to be shortened by 21 % at 3 % a pass: seven passes at the very least, by hand. It has 30 % in
    all: of the usual 25 % too little is left in the end for all that is not known."""
    job = core.job({**JOBS["many passes"], "limits": {"strain_total": 0.3}})
    assert 6.0 < job.part.asked_strain().max() / job.limits.per_pass.strain < 7.0
    advice = core.refit(job, [])
    assert 8 < len(advice.remaining) <= 20
    assert advice.remaining[-1].expected_gap_mm <= job.tolerance_mm
    assert advice.minutes_left == pytest.approx(sum(p.minutes for p in advice.remaining))
