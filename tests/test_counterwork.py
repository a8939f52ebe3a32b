"""Counter-work on the other flange: by hand, by finite elements mirrored, and played forwards."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.counterwork import LEAST_MM_PER_M, Countering, against_bow, counter_reasons, counter_work
from core.geometry import beam_movement, section_from, stroke_effect
from tests.geometry.test_stroke import influence
from tests.made_up import SECTIONS, rib

N, AT, LENGTH = 36, 12.5 + 25.0 * np.arange(36), 900.0
EQUAL = {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"}
EQUAL_Z = {"shape": "Z", "web": "50 mm", "flange": "30 mm", "thickness": "1.5 mm"}
BARS = {"equal angle": EQUAL, **{name: SECTIONS[name] for name in ("angle", "channel, one", "Z")}}
STRAIN = 0.004  # a medium stroke of the rib's tool


def job_of(section: dict[str, Any], **changes: Any) -> core.Job:
    return core.job(
        rib(section=section, line={"radius": "4 m", "length": "900 mm"}, pitch="25 mm", **changes)
    )


def countered(
    job: core.Job, bow_mm: float, ratio: float = 1.0, end_mm: float | None = None
) -> core.Counter | None:
    """Against this bow, with strokes that do this share of the first guess, and all of the formula; end_mm :
    what the plan leaves, as much when None."""

    def strain(action: str, bite: str, strokes: np.ndarray) -> np.ndarray:
        return ratio * job.tools[action].strain(bite) * strokes

    by = Countering(strain, (1.0, 0.3), (1.0, 0.4))
    return counter_work(job, a_bow(bow_mm), a_bow(bow_mm if end_mm is None else end_mm), by)


def reckoned(job: core.Job, bow_mm: float, ratio: float = 1.0) -> core.Counter:
    """The same whatever it does to the curve."""
    by = Countering(lambda a, b, m: ratio * job.tools[a].strain(b) * m, (1.0, 0.3), (1.0, 0.4))
    edge = job.part.other_edge()
    assert edge is not None
    found = against_bow(job, edge, bow_mm, by)
    assert found is not None
    return found


def a_bow(bow_mm: float) -> core.OutOfPlane:
    return core.OutOfPlane(bow_mm, 0.3, 0.0, 0.0, "")


def counter_of(job: core.Job, bow_mm: float, ratio: float = 1.0) -> core.Counter:
    found = countered(job, bow_mm, ratio)
    assert found is not None
    return found


@pytest.mark.parametrize("bow_mm", [-6.0, 3.0])
@pytest.mark.parametrize("name", BARS)
def test_played_forwards_it_takes_the_bow_away(name: str, bow_mm: float) -> None:
    """The strokes named, by beam theory with a patch on the other flange: within half a stroke spread evenly,
    beside which uneven places count for little; the curve moves as told."""
    job = job_of(BARS[name])
    found = reckoned(job, bow_mm, ratio=0.8)
    sizes = {key: float(str(value).split()[0]) for key, value in BARS[name].items() if " mm" in str(value)}
    rest = {key: value for key, value in BARS[name].items() if key not in sizes}
    section = section_from(**rest, **sizes)
    effect = stroke_effect(section.turned_to(section.other), 20.0, 15.0)
    moved = beam_movement(effect, [0.0, 450.0, 900.0], AT, LENGTH, 20.0)
    sign = 1.0 if found.action == "shrink" else -1.0
    shortened = sign * 0.8 * STRAIN * found.strokes

    def middle(rows: np.ndarray) -> np.ndarray:
        return rows[1] - 0.5 * (rows[0] + rows[2])

    one = 0.8 * STRAIN * abs(middle(moved.out_of_plane_mm).mean())
    assert abs(bow_mm + middle(moved.out_of_plane_mm) @ shortened) < one
    assert found.bow_mm == pytest.approx(middle(moved.out_of_plane_mm) @ shortened, rel=1e-3)
    assert found.closes_mm == pytest.approx(-middle(moved.in_plane_mm) @ shortened, rel=1e-3)
    assert found.total == found.strokes.sum() > 0


@pytest.mark.parametrize("name", BARS)
def test_strokes_are_spread_evenly(name: str) -> None:
    strokes = reckoned(job_of(BARS[name]), -4.0).strokes
    assert np.ptp(strokes) <= 1
    so_far, even = np.cumsum(strokes), strokes.sum() * np.arange(1, N + 1) / N
    assert np.abs(so_far - even).max() <= 1.0


def test_an_equal_angle_by_hand() -> None:
    """Its legs change places: on the upright leg a stroke bows as it curves on the worked one, 0.596 rad per
    unit strain, and curves as it bows there, 0.1236 (finite elements give both to 0.1 %). A kink d at s takes
    the middle d min(s, L - s) / 2 away from the line over the ends: of strokes all along, L / 8 each."""
    found = counter_of(job_of(EQUAL), -5.0)
    one = 0.596 * STRAIN * LENGTH / 8.0
    assert found.total == round(5.0 / one)
    assert (found.action, found.where, found.bite) == ("stretch", "upright flange", "medium")
    assert found.bow_mm == pytest.approx(found.total * one, rel=0.03)
    assert found.closes_mm == pytest.approx(-0.1236 / 0.596 * found.bow_mm, rel=0.002)


def test_an_equal_angle_by_finite_elements() -> None:
    """Laid over its diagonal, the table of a stroke on one leg is that of a stroke on the other."""
    found = counter_of(job_of(EQUAL), 7.0)
    table = influence("fe_influence_angle.csv")  # per unit shortening, at 73 places
    out, inside = (
        table[name][36] - 0.5 * (table[name][0] + table[name][72])
        for name in ("v_inplane_mm", "w_outofplane_mm")
    )
    assert found.action == "shrink"
    assert found.bow_mm == pytest.approx(out @ (STRAIN * found.strokes), rel=0.01)
    assert found.closes_mm == pytest.approx(-inside @ (STRAIN * found.strokes), rel=0.02)


def test_the_other_flange_of_a_channel_closes_it_and_of_a_z_opens_it() -> None:
    """A channel's flanges lie on the same side of its web, a Z's on opposite sides: to undo the bow of
    shrinking, either wants shrinking on the other flange; of a Z with equal flanges that gives back all the
    curve that it has."""
    for section, closes in ((SECTIONS["channel, one"], True), (EQUAL_Z, False)):
        job = job_of(section)
        bow = job.part.side_effects(job.part.work_per_strain())["bow_mm"]
        found = reckoned(job, 5.0 * np.sign(bow))
        assert found.action == "shrink"
        assert (found.closes_mm > 0.0) == closes
        assert abs(found.closes_mm) > abs(found.bow_mm)


@pytest.mark.parametrize("name", BARS)
def test_it_is_not_offered_where_it_moves_the_curve_by_more_than_the_bow(name: str) -> None:
    """The rule is one of common practice. What it would do is the formula of the strokes played forwards
    above; told instead, with what else can be done."""
    job, bow = job_of(BARS[name]), a_bow(5.0)
    found = reckoned(job, 5.0)
    dear = abs(found.closes_mm) > abs(found.bow_mm)
    assert dear == (name not in ("angle", "equal angle"))
    assert (countered(job, 5.0) is None) == dear
    told = counter_reasons(job, None, True, bow, bow)
    if not dear:
        assert told == ()
        return
    (said,) = told
    way = "close" if found.closes_mm > 0.0 else "open"
    assert said.startswith("No counter-work against the bow: to take 5.00 mm back, ")
    curve = float(re.findall(rf"would {way} the curve by about ([\d.]+) mm", said)[0])
    assert curve == pytest.approx(abs(found.closes_mm), rel=0.02)
    small = a_bow(0.5)
    assert counter_reasons(job, None, True, small, small) == ()


def test_the_other_flange_of_a_channel_mirrors_the_worked_one() -> None:
    """By symmetry about the middle of the web: the same bow the other way, and the same curve."""
    part = job_of(SECTIONS["channel, one"]).part
    edge = part.other_edge()
    each = [part.side_effects(work)["bow_mm"] for work in np.diag(part.work_per_strain())]
    np.testing.assert_allclose(edge.bow_mm, -np.array(each), rtol=1e-9)


def test_what_is_small_or_out_of_reach_is_left_alone() -> None:
    job = job_of(EQUAL)
    least = LEAST_MM_PER_M * 0.9
    assert countered(job, 0.99 * least) is None and countered(job, 1.01 * least) is not None
    for name in ("T", "flat bar", "channel, both"):
        assert countered(job_of(SECTIONS[name]), 9.0) is None
    narrow = {"shape": "angle", "worked": "40 mm", "other": "14 mm", "thickness": "1.5 mm"}
    assert countered(job_of(narrow), 9.0) is None  # the patch is 15 mm deep
    assert countered(job_of(narrow, tool__patch_depth="13 mm"), 9.0) is not None


def test_a_bite_that_may_not_shrink_is_not_named() -> None:
    job = job_of(EQUAL)
    folding = replace(job.limits, shrink_per_stroke=core.Limit("fold", "of a stroke", 0.002, "this test"))
    held = replace(job, limits=folding)
    assert counter_of(held, 6.0).bite == "light" and counter_of(held, -6.0).bite == "medium"
    none = replace(job.limits, shrink_per_stroke=core.Limit("fold", "of a stroke", 0.001, "this test"))
    assert countered(replace(job, limits=none), 6.0) is None


@pytest.mark.parametrize(("bow_mm", "ratio"), [(4.0, 1e-9), (4.0, 1e-320), (1.0, 1e3)])
def test_a_count_without_sense_is_not_named(bow_mm: float, ratio: float) -> None:
    """Strokes that do nothing, or of which one does more than twice what is wanted."""
    assert countered(job_of(EQUAL), bow_mm, ratio) is None


def test_the_sentence_has_it_all() -> None:
    job = job_of(EQUAL)
    found = counter_of(job, -5.0)
    (said,) = counter_reasons(job, found, read=True)
    assert f"stretch the free edge of the upright flange, medium bite, {found.total} strokes in all" in said
    assert f"brings back {core.format_band(found.bow_mm, found.bow_sd_mm)} and opens the curve by" in said
    assert f"{core.format_band(-found.closes_mm, found.closes_sd_mm)} at mid-length" in said
    assert "do half of it, then read the bow" in said
    assert counter_reasons(job, found, read=False)[0].startswith("The bow is only reckoned: read it first")
    assert counter_reasons(job, None, read=True) == ()


def test_there_is_no_half_of_one_stroke() -> None:
    """As above, 0.27 mm a stroke on the average is 0.54 mm amid the bar: twice that does for 1 mm."""
    found = counter_of(job_of(EQUAL), 1.0, ratio=2.0)
    (said,) = counter_reasons(job_of(EQUAL), found, read=True)
    assert f"medium bite, 1 stroke at station {1 + int(found.strokes.argmax())}. By" in said
    assert "half" not in said and "do no more, then read" in said


def test_what_the_plan_brings_back_by_itself_is_not_countered() -> None:
    job = job_of(EQUAL)
    assert countered(job, 6.0, end_mm=-6.0) is None
    assert countered(job, 6.0, end_mm=0.1) is None
    half, whole = countered(job, 6.0, end_mm=3.0), counter_of(job, 6.0)
    assert half is not None and half.action == whole.action
    assert half.total == pytest.approx(whole.total / 2, abs=1)
    assert countered(job, 3.0, end_mm=6.0).total == half.total


def test_half_a_turn_shows_what_turns_an_equal_z_back() -> None:
    """Turned by half about its length, the Z is itself with its flanges changed and its twist as it was: as
    many strokes stretched on the other flange as are shrunk on this one take it back, and close the curve."""
    job, by = (
        job_of(EQUAL_Z),
        Countering(lambda a, _, m: job.tools[a].strain("medium") * m, (1.0, 0.3), (1.0, 0.4)),
    )
    strain = np.full(N, 3.0 * STRAIN)
    twist = job.part.side_effects(strain * job.part.work_per_strain())["twist_along_rad"]
    small = a_bow(0.5)
    found = counter_work(job, small, small, by, twist)
    assert found is not None and (found.against, found.action) == ("twist", "stretch")
    assert found.strokes.tolist() == [3] * N and found.closes_mm > 0.0
    assert found.untwists_rad == pytest.approx(np.ptp(twist), rel=1e-6)
    told = " ".join(counter_reasons(job, found, read=True))
    assert f"takes about {np.degrees(found.untwists_rad):.1f}° back" in told
    assert told.startswith("The twist is only reckoned: look at it with a level on both ends first. ")
    assert counter_work(job, small, small, replace(by, begun=True), twist) is None  # what is left is a guess
    assert counter_work(job, small, small, by, twist * np.radians(0.9) / np.ptp(twist)) is None
    assert counter_work(job, small, small, by, np.where(np.arange(len(twist)) % 2, 0.05, -0.05)) is None


def test_what_cannot_be_foretold_is_to_be_read_and_not_countered() -> None:
    """A twist of 24 degrees give or take 36, and a bow of 6 mm give or take 8, say nothing that strokes could
    be counted by."""
    job, by = (
        job_of(EQUAL_Z),
        Countering(lambda a, _, m: job.tools[a].strain("medium") * m, (1.0, 0.3), (1.0, 0.4)),
    )
    strain = np.full(N, 3.0 * STRAIN)
    twist = job.part.side_effects(strain * job.part.work_per_strain())["twist_along_rad"]
    twist = np.radians(24.0) * twist / np.ptp(twist)
    sure, wide = (
        core.OutOfPlane(0.5, 0.2, np.radians(24.0), np.radians(half) / 1.96, "") for half in (9, 36)
    )
    assert counter_work(job, sure, sure, by, twist) is not None
    assert counter_work(job, wide, wide, by, twist) is None
    (said,) = counter_reasons(job, None, True, wide, wide)
    assert said == (
        "The twist cannot be foretold: look at it with a level on both ends before any counter-work."
    )
    assert counter_reasons(job, None, True, sure, sure) == ()
    bowed = core.OutOfPlane(6.0, 8.0 / 1.96, 0.0, 0.0, "up")
    assert counter_work(job, bowed, bowed, by) is None
    assert counter_reasons(job, None, False, bowed, bowed)[0].startswith(
        "The bow cannot be foretold: read it"
    )


@pytest.mark.parametrize(
    ("bow", "twist_deg", "told"),
    [
        ((16.0, 12.0), (0.0, 0.0), "bow 16 ± 12 mm up"),
        ((-15.0, 15.4), (0.0, 0.0), "bow cannot be foretold, 0 to 30 mm up: read it"),
        ((2.0, 8.0), (0.0, 0.0), "bow cannot be foretold, up to 10 mm either way: read it"),
        ((0.0, 0.0), (24.0, 36.0), "twist cannot be foretold, 0 to 60°: read it"),
        ((0.0, 0.0), (0.4, 0.8), "twist 0.4 ± 0.8°"),  # nobody minds so little
        ((0.05, 0.5), (0.05, 0.0), ""),
    ],
)
def test_beside_a_pass_with_band_and_side(
    bow: tuple[float, float], twist_deg: tuple[float, float], told: str
) -> None:
    (mm, mm_half), (turn, turn_half) = bow, np.radians(twist_deg)
    assert core.beside(core.OutOfPlane(mm, mm_half / 1.96, turn, turn_half / 1.96, "up")) == told


def test_of_a_channel_the_same_action_turns_it_back() -> None:
    job = job_of(SECTIONS["channel, one"])
    by = Countering(lambda a, _, m: job.tools[a].strain("medium") * m, (1.0, 0.3), (1.0, 0.4))
    strain = np.full(N, 2.0 * STRAIN)
    twist = job.part.side_effects(strain * job.part.work_per_strain())["twist_along_rad"]
    found = counter_work(job, a_bow(0.1), a_bow(0.1), by, twist)
    assert found is not None and (found.action, found.strokes.tolist()) == ("shrink", [2] * N)
    assert found.untwists_rad == pytest.approx(np.ptp(twist), rel=1e-6)
