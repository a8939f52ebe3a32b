"""The bow as it goes through a log: its event, the advice, the terminal."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.errors import InputError
from core.estimate.outofplane import FACTOR
from core.joblog import checked_log
from core.readings.rounds import log_of
from shopapp.next_text import next_lines
from tests.geometry.test_stroke import influence
from tests.made_up import SECTIONS, rib

N = 30
JOB = core.job(rib(line={"radius": "3000 mm", "length": "1200 mm"}, gauge="steel rule"))
PASS = {**core.pass_done("shrink", [3] * N), "id": "p"}
ROUND = core.gaps_read([round((20 + 40 * i - 600) ** 2 / 14000.0, 1) for i in range(N)])
BOW = {**core.bow_read(-6.0), "id": "b"}


def bow_of(*events: dict[str, Any], job: core.Job = JOB) -> core.OutOfPlane:
    effects = core.refit(job, events).side_effects
    assert effects is not None
    return effects


def test_the_event_is_plain() -> None:
    assert core.bow_read(np.float64(2.5)) == {"event": "bow_read", "bow_mm": 2.5}
    assert core.bow_read(-1, countered=True) == {"event": "bow_read", "bow_mm": -1.0, "countered": True}


@pytest.mark.parametrize(
    ("event", "field", "says"),
    [
        ({"event": "bow_read"}, "bow_mm", "needs it"),
        ({"event": "bow_read", "bow_mm": "2 mm"}, "bow_mm", "a number in mm"),
        ({"event": "bow_read", "bow_mm": float("nan")}, "bow_mm", "a number in mm"),
        ({"event": "bow_read", "bow_mm": True}, "bow_mm", "a number in mm"),
        ({"event": "bow_read", "bow_mm": None}, "bow_mm", "a number in mm"),
        ({"event": "bow_read", "bow_mm": 301.0}, "bow_mm", "at most 300.0 mm either way"),
        ({"event": "bow_read", "bow_mm": 1.0, "countered": 1}, "countered", "true or false"),
        ({"event": "bow_read", "bow_mm": 1.0, "bow": 1}, "bow", "there is no such field"),
    ],
)
def test_what_cannot_be_a_bow_is_refused(event: dict[str, Any], field: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        checked_log(JOB, [event])
    assert caught.value.field == f"events[0].{field}"
    assert says in str(caught.value)


class WithoutBow:
    """A part that is like another but knows of no bow."""

    def __init__(self, part: core.Part) -> None:
        self._part = part

    def __getattr__(self, name: str) -> Any:
        return getattr(self._part, name)

    def side_effects(self, work: np.ndarray) -> dict[str, Any]:
        return {}

    def other_edge(self) -> None:
        return None


def test_a_part_without_bow_refuses_it_and_is_told_none() -> None:
    flat = replace(JOB, part=WithoutBow(JOB.part))
    with pytest.raises(InputError, match="no bow out of its plane"):
        core.refit(flat, [BOW])
    advice = core.refit(flat, [PASS, ROUND])
    assert (
        advice.side_effects is advice.side_effects_then is advice.side_effects_end is advice.counter is None
    )
    assert all(np.isnan(one.bow_mm) for one in advice.remaining)
    assert not any("bow" in line or "twist" in line for line in next_lines(flat, advice))


def test_a_bow_is_withdrawn_and_corrected_like_anything_else() -> None:
    plain, read = bow_of(PASS, ROUND), bow_of(PASS, ROUND, BOW)
    assert read.bow_sd_mm < 0.3 < plain.bow_sd_mm
    assert read.bow_mm == pytest.approx(-6.0, abs=0.3)
    assert bow_of(PASS, ROUND, BOW, core.withdrawn("b")) == plain
    better = {**core.corrected("b", core.bow_read(-4.5)), "id": "c"}
    assert bow_of(PASS, ROUND, BOW, better) == bow_of(PASS, ROUND, core.bow_read(-4.5))
    with pytest.raises(InputError, match=r"with\.bow_mm"):
        core.refit(JOB, [PASS, BOW, core.corrected("b", core.bow_read(900.0))])


def test_a_bow_is_read_after_the_passes_before_it() -> None:
    """Among single gaps it does not begin a new round; before or after the gaps of a pass is the same."""
    singles = [core.gap_read(i, gap) for i, gap in enumerate(ROUND["gaps_mm"])]
    steps, bows = log_of(JOB, [BOW | {"id": "a"}, PASS, *singles[:9], BOW, *singles[9:]])
    assert [bow.passes for bow in bows] == [0, 1]
    assert len(steps) == 2
    assert bow_of(PASS, BOW, ROUND) == bow_of(PASS, ROUND, BOW)


def test_the_shape_in_the_plane_does_not_hear_of_it() -> None:
    one, other = core.refit(JOB, [PASS, ROUND]), core.refit(JOB, [PASS, ROUND, BOW])
    np.testing.assert_array_equal(one.remaining_work, other.remaining_work)
    assert (one.verdict, one.widest_gap_mm) == (other.verdict, other.widest_gap_mm)
    np.testing.assert_array_equal(one.next_pass.strokes, other.next_pass.strokes)


def test_unread_it_is_the_prior_s_share_of_the_formula() -> None:
    advice = core.refit(JOB, [PASS, ROUND])
    formula = JOB.part.side_effects(JOB.part.target - advice.remaining_work)
    assert advice.side_effects.bow_mm == pytest.approx(FACTOR * formula["bow_mm"])
    assert advice.side_effects.side == "away from the upright flange"
    assert formula["bow_mm"] < 0.0


def test_the_plan_tells_the_bow_pass_by_pass() -> None:
    advice = core.refit(JOB, [core.bow_read(0.4), PASS, ROUND, BOW])
    bows = [one.bow_mm for one in advice.remaining]
    assert len(bows) > 1
    assert bows[0] == advice.side_effects_then.bow_mm
    assert bows[-1] == advice.side_effects_end.bow_mm
    assert advice.side_effects.bow_mm > bows[0] > bows[-1]  # shrinking an angle bows it further away
    assert (
        advice.side_effects.bow_sd_mm < advice.side_effects_then.bow_sd_mm < advice.side_effects_end.bow_sd_mm
    )


def test_what_the_next_pass_does_is_as_unsure_as_its_strokes() -> None:
    """Before anything is known of the response the band is wider than that of the factors and the stock, by
    the prior spread of the work, about a third (its parts in quadrature); by nothing where it is known."""
    known = ("common_sd", "action_sd", "bite_sd", "bite_exponent_sd", "uneven_sd")
    sure = dict.fromkeys((*known, "neighbours_sd", "exponent_sd", "hardening_sd"), 0.0)
    sds = []
    for response in ({}, sure):
        job = core.job(rib(line={"radius": "3000 mm", "length": "1200 mm"}, response=response))
        then = core.refit(job, []).side_effects_then
        share = abs(then.bow_mm) / FACTOR  # by the formula
        plain = np.hypot(np.hypot(0.2, 0.2) * share, 0.7 * 1.2**2)
        sds.append(np.sqrt(max(then.bow_sd_mm**2 - plain**2, 0.0)) / abs(then.bow_mm))
    assert sds[1] == pytest.approx(0.0, abs=1e-3)
    assert 0.27 < sds[0] < 0.4


def test_without_a_plan_all_three_are_the_same() -> None:
    wide = core.job(
        rib(line={"radius": "3000 mm", "length": "1200 mm"}, gauge="steel rule", tolerance="50 mm")
    )
    advice = core.refit(wide, [PASS, ROUND])
    assert advice.remaining == ()
    assert advice.side_effects == advice.side_effects_then == advice.side_effects_end


@pytest.mark.parametrize("section", ["angle", "channel, one", "Z"])
def test_turning_the_bar_end_for_end_leaves_the_bow(section: str) -> None:
    job = core.job(rib(section=SECTIONS[section], line={"radius": "6 m", "length": "1200 mm"}))
    work = np.linspace(0.001, 0.01, N)
    one, other = job.part.side_effects(work), job.part.side_effects(work[::-1])
    assert other["bow_mm"] == pytest.approx(one["bow_mm"], rel=1e-9)
    assert other["twist_rad"] == pytest.approx(one["twist_rad"], rel=1e-9)
    uneven = core.pass_done("shrink", [1] * 10 + [2] * 20)
    turned = core.pass_done("shrink", [2] * 20 + [1] * 10)
    here, there = bow_of(uneven, core.bow_read(1.0), job=job), bow_of(turned, core.bow_read(1.0), job=job)
    assert there.bow_mm == pytest.approx(here.bow_mm, rel=1e-6)
    assert there.bow_sd_mm == pytest.approx(here.bow_sd_mm, rel=1e-6)


def straight(section: dict[str, Any]) -> core.Part:
    """The bar of the finite elements: 900 mm, a stroke every 25."""
    return core.job(rib(section=section, line={"segments": [["900 mm", None]]}, pitch="25 mm")).part


EQUAL = {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"}


@pytest.mark.parametrize(
    ("section", "table", "off"),
    [
        (EQUAL, "fe_influence_angle.csv", 0.02),
        (SECTIONS["channel, one"], "fe_influence_channel_one.csv", 0.03),
    ],
    ids=["angle", "channel"],
)
def test_the_formula_is_that_of_the_finite_elements(section: dict[str, Any], table: str, off: float) -> None:
    """The bow of one elastic stroke at every station one flange width inwards, as a share of the largest."""
    part, moved = straight(section), influence(table)["w_outofplane_mm"]
    expected = moved[36] - 0.5 * (moved[0] + moved[72])
    each = part.work_per_strain() * np.eye(36)
    found = np.array([part.side_effects(work)["bow_mm"] for work in each])
    inwards = slice(2, -2)
    assert np.abs(found - expected)[inwards].max() < off * np.abs(expected).max()


def test_the_formula_of_a_z_by_hand() -> None:
    """Z 50 x 30 x 1.5, sharp corners, patch 20 x 15, even strokes of 1 %.

    Bending: rectangles about the middle of the web, centroid and shear centre by symmetry. Twist: Vlasov's
    closed form (from memory) on the middle lines, the heel 0.75 mm from the shear centre, with the constants
    reckoned beside the finite elements, Iw 8.68e6 mm^6 and 1/k 438 mm.
    """
    t, b, h, depth, length, strain = 1.5, 30.0, 50.0, 15.0, 900.0, 0.01
    at = 12.5 + 25.0 * np.arange(36)
    y, z = b / 2 - t / 2, h / 2 - t / 2  # middle of the worked flange from the middle of the web
    izz = 2 * (b**3 * t / 12 + b * t * y**2) + (h - 2 * t) * t**3 / 12
    iyy = 2 * (b * t**3 / 12 + b * t * z**2) + t * (h - 2 * t) ** 3 / 12
    iyz = 2 * b * t * y * -z
    moment = depth * t * np.array([b - depth / 2 - t / 2, -z])
    _, out = np.linalg.solve([[izz, iyz], [iyz, iyy]], moment) * 20.0
    bending = -out * strain * np.minimum(at, length - at).sum() / 2.0
    leg, web = b - t / 2, h - t
    corner = -leg * (web / 2) * leg / (web + 2 * leg)  # sectorial coordinate of the web, mean zero over all
    patch = corner + (web / 2) * (leg - depth / 2)
    turn, k = 20.0 * patch * depth * t / 8.68e6, 1.0 / 438.0
    middle = np.minimum(at, length - at)
    theta = -turn * strain * np.sum(np.sinh(k * length / 2) * np.sinh(k * middle)) / (k * np.sinh(k * length))
    part = straight({"shape": "Z", "web": "50 mm", "flange": "30 mm", "thickness": "1.5 mm"})
    found = part.side_effects(strain * part.work_per_strain())
    assert found["bow_mm"] == pytest.approx(bending - t / 2 * theta, rel=0.02)
    assert found["twist_rad"] == pytest.approx(-theta, rel=0.03)


def test_the_terminal_tells_bow_twist_and_counter_work() -> None:
    advice = core.refit(JOB, [PASS, ROUND, BOW])
    lines = next_lines(JOB, advice)
    (bow,) = [line for line in lines if line.startswith("  bow out of plane")]
    now = core.format_band(-advice.side_effects.bow_mm, advice.side_effects.bow_sd_mm)
    then = core.format_band(-advice.side_effects_then.bow_mm, advice.side_effects_then.bow_sd_mm)
    assert f"{now} away from the upright flange by now; {then} away from" in bow
    assert "at the end of the plan" in bow
    (following,) = [line for line in lines if line.startswith("  next pass")]
    after = core.format_band(-advice.next_pass.bow_mm, advice.next_pass.bow_sd_mm)
    assert following.endswith(f"; bow {after} away from the upright flange")  # an angle has no twist
    assert [
        line for line in lines if "Counter-work against the bow: stretch the free edge of the upright" in line
    ]
    assert advice.counter is not None and advice.counter.bow_mm == pytest.approx(6.0, abs=0.4)


def test_the_twist_has_a_band() -> None:
    job = core.job(rib(section=SECTIONS["Z"], line={"radius": "6 m", "length": "1200 mm"}))
    advice = core.refit(job, [PASS])
    effects = advice.side_effects
    degrees, half = np.degrees(effects.twist_rad), np.degrees(1.96 * effects.twist_sd_rad)
    (line,) = [line for line in next_lines(job, advice) if line.startswith("  twist")]
    assert f"{degrees:.1f} ± {half:.1f}° by now" in line
    formula = job.part.side_effects(job.part.target - advice.remaining_work)["twist_rad"]
    assert effects.twist_rad == pytest.approx(FACTOR * formula)
    assert effects.twist_sd_rad == pytest.approx(np.hypot(0.2, 0.2) * formula)


def test_the_twist_of_the_formula_is_that_of_the_finite_elements() -> None:
    """Even strokes on one flange of a channel, from one flange width inwards: the largest difference."""
    part, turned = straight(SECTIONS["channel, one"]), influence("fe_influence_channel_one.csv")["twist_rad"]
    even = np.where((np.arange(36) >= 2) & (np.arange(36) < 34), 0.001, 0.0)
    found = part.side_effects(even * part.work_per_strain())["twist_rad"]
    assert found == pytest.approx(np.ptp(turned @ even), rel=0.03)


def test_every_pass_says_what_twist_it_leaves() -> None:
    """As lessened as the bow, of all work so far; it stands beside the pass."""
    job = core.job(rib(section=SECTIONS["Z"], line={"radius": "3 m", "length": "1200 mm"}))
    advice = core.refit(job, [])
    twists = [planned.twist_rad for planned in advice.remaining]
    assert len(twists) > 1 and twists == sorted(twists) and twists[0] > 0.0
    assert twists[0] == advice.side_effects_then.twist_rad
    assert twists[-1] == advice.side_effects_end.twist_rad
    whole = job.part.side_effects(job.part.target)["twist_rad"]
    assert twists[-1] == pytest.approx(FACTOR * whole, rel=0.05)
    lines = [line for line in next_lines(job, advice) if "widest gap" in line and "bow" in line]
    assert len(lines) == len(twists)
    for line, planned in zip(lines, advice.remaining, strict=True):
        half = 1.96 * np.degrees(planned.twist_sd_rad)
        assert line.endswith(f", twist {np.degrees(planned.twist_rad):.1f} ± {half:.1f}°")


def test_a_channel_worked_on_the_other_flange_too_turns_back() -> None:
    """By symmetry as much shrinking there takes all of the twist: the counter-work says so, and once it is
    logged the twist is what is left."""
    job = core.job(rib(section=SECTIONS["channel, one"], line={"radius": "3 m", "length": "1200 mm"}))
    done = [core.pass_done("shrink", [3] * len(job.part.sites))]  # few: the bow is one to be left alone
    done.append(core.bow_read(round(core.refit(job, done).side_effects.bow_mm, 1)))
    before = core.refit(job, done)
    counter, now = before.counter, before.side_effects
    assert counter is not None and counter.action == "shrink" and 0.0 < counter.untwists_rad < now.twist_rad
    told = [sentence for sentence in before.reasons if "Counter-work against the twist" in sentence]
    assert f"that takes about {np.degrees(counter.untwists_rad):.1f}° back" in told[0]
    countered = core.counter_done(counter.action, counter.strokes.tolist(), counter.bite)
    after = core.refit(job, [*done, countered]).side_effects
    assert after.twist_rad == pytest.approx(now.twist_rad - counter.untwists_rad, rel=1e-6)


def test_the_counter_work_of_the_next_pass_is_against_the_bow_that_it_leaves() -> None:
    advice = core.refit(JOB, [PASS, ROUND, BOW])
    assert advice.counter_then is not None
    assert advice.counter_then.bow_mm == pytest.approx(-advice.next_pass.bow_mm, rel=0.1)


def test_as_json_the_records_are_whole() -> None:
    document = core.advice_document(core.refit(JOB, [PASS, ROUND, BOW]))
    assert set(document["side_effects"]) == {"bow_mm", "bow_sd_mm", "twist_rad", "twist_sd_rad", "side"}
    assert document["counter"]["total"] == sum(document["counter"]["strokes"])
    assert document["next_pass"]["bow_mm"] == document["side_effects_then"]["bow_mm"]


def in_space(job: core.Job) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Heel line (s, 3) of the finished bar and the worked flange's plane at mid-length (point, normal).

    Rotations of any size, one station after another: a frame carried along the bar, turned about its own axes
    by each station's kinks in the plane and out of it, spread along the station. Of the core it has but the
    two kinks of a stroke.
    """
    part, steps = job.part, 20
    kinks = part.target / steps
    out = kinks * part.effect.bow_per_strain_rad / part.effect.kink_per_strain_rad
    frame, at = np.eye(3), np.zeros(3)  # columns: along the bar, to the worked edge, across the worked flange
    points, frames = [at], [frame]
    for kink, bow, width in zip(kinks, out, part.sites.width_mm, strict=True):
        for _ in range(steps):
            at = at + frame[:, 0] * width / steps
            turned, swung = (np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]) for a in (kink, bow))
            about_z, about_y = np.eye(3), np.eye(3)
            about_z[:2, :2], about_y[np.ix_([0, 2], [0, 2])] = turned, swung
            frame = frame @ about_z @ about_y
            points.append(at)
            frames.append(frame)
    middle = len(points) // 2
    return np.array(points), points[middle], frames[middle][:, 2]


@pytest.mark.parametrize(
    "line",
    [
        {"radius": "1500 mm", "length": "1200 mm"},
        {"radius": "-900 mm", "length": "900 mm"},
        {"segments": [["480 mm", "1500 mm"], ["480 mm", "-1500 mm"]]},
        {"segments": [["360 mm", "1500 mm"], ["240 mm", None], ["360 mm", "-900 mm"]]},
    ],
)
def test_the_bow_is_what_is_read_with_the_flange_level_at_mid_length(line: dict[str, Any]) -> None:
    """Heights over that plane in space, middle over mean of the ends, against small slopes added up."""
    job = core.job(rib(line=line))
    points, origin, normal = in_space(job)
    height = (points - origin) @ normal
    read = height[len(height) // 2] - 0.5 * (height[0] + height[-1])
    foretold = job.part.side_effects(job.part.target)["bow_mm"]
    largest = np.abs(height).max()
    assert largest > 5.0 and read == pytest.approx(foretold, abs=0.05 * largest)


def test_left_to_lie_as_it_likes_an_even_arc_shows_no_bow() -> None:
    """On its two ends and its middle, that is: with an even bow it is an arc in another plane."""
    points, origin, normal = in_space(core.job(rib(line={"radius": "1500 mm", "length": "1200 mm"})))
    ends, middle = points[[0, -1]], points[len(points) // 2]
    across = np.cross(ends[1] - ends[0], middle - ends[0])
    off = (points - ends[0]) @ across / np.linalg.norm(across)
    assert np.abs(off).max() < 0.1 and np.abs((points - origin) @ normal).max() > 10.0
