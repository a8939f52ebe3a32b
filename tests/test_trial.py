"""A trial on an offcut: its layout, geometry by hand, errors, and what was seen as part of the prior."""

from __future__ import annotations

from dataclasses import asdict, replace

import numpy as np
import pytest

import core
from core.estimate.fit import prior
from core.estimate.response import SIGN, ResponseModel
from core.seen import Seen
from core.trial import PIECE_SD, STOCK_BOW_MM, Trial, trial_plan, trial_read
from tests.made_up import SECTIONS, rib

FLANGE_MM = 40.0  # of the made-up rib
TAPER = core.GAUGES["taper gauge"]
SEEN = Seen("shrink", "medium", 6, 1.12, 0.06, "trial strip")


@pytest.fixture(scope="module")
def trial() -> Trial:
    return trial_plan(core.job(rib()), "shrink", "medium", gauge=TAPER)


def seen_job(*seen: Seen, **response: object) -> core.Job:
    return core.job(rib(response={**response, "seen": [asdict(s) for s in seen]}))


def walked(headings: np.ndarray, lengths: np.ndarray) -> np.ndarray:
    """(n + 1, 2) points of straight pieces laid end to end."""
    steps = lengths[:, None] * np.column_stack([np.cos(headings), np.sin(headings)])
    return np.vstack([np.zeros(2), np.cumsum(steps, axis=0)])


def height(points: np.ndarray) -> float:
    """Distance of the second of three points from the chord of the others, > 0 on its right."""
    near, middle, far = points
    (ax, ay), (bx, by) = (far - near) / np.linalg.norm(far - near), middle - near
    return float(ay * bx - ax * by)


def test_an_offcut_that_does_not_fit_says_so_by_how_much() -> None:
    """1.4301, Rm 540 to 750 MPa, at a rating of 1.5 mm at 400 MPa: 1.5 * 400 / 645 = 0.93 mm, shearing being
    the cautious rule for stronger metal; the throat is as deep as the patch, less 5 mm. An inside radius that
    the tool does not enter is the part's alone: the offcut is straight."""
    rated = {"rated_thickness": "1.5 mm", "throat": "10 mm"}
    job = core.job(rib(material="stainless steel 1.4301", machine=rated))
    found = " ".join(trial_plan(job, "stretch", "medium").misfits)
    assert "that is 0.93 mm of this metal" in found and "5.00 mm too little" in found
    tight = core.job(rib(tool__smallest_radius="4 m"))
    assert tight.misfits["shrink"] and trial_plan(tight, "shrink", "medium").misfits == ()
    assert trial_plan(core.job(rib()), "shrink", "medium").misfits == ()


# Geometry, by hand.


@pytest.mark.parametrize("action", SIGN)
def test_rise_is_that_of_a_polygon_with_its_kinks_as_they_are(trial, action):
    """Hinges on the marks: corners of a polygon (plane geometry). A kink spread evenly about its hinge leaves
    chords outside it where they were but for (angle)^2 / 24 of its own reach."""
    hinged, angles = replace(trial, action=action), np.array([0.05, 0.02, 0.09, 0.04])
    half = 0.5 * trial.chord_mm
    ends = 0.5 * trial.length_mm + half * np.array([-1.0, 0.0, 1.0])
    places = np.sort(np.concatenate([ends, trial.spots_mm]))
    turned = [SIGN[action] * angles[np.array(trial.spots_mm) <= at].sum() for at in places[:-1]]
    points = walked(np.array(turned), np.diff(places))[np.searchsorted(places, ends)]
    assert hinged.rise_of(angles)[0] == pytest.approx(SIGN[action] * height(points), rel=2e-4)


def test_kinks_that_leave_nothing_straight_make_a_circle(trial):
    """Sites as far apart as a kink reaches, alike: rise R (1 - cos(C / 2R)) of an arc C (circle segment)."""
    reach = 0.65 * FLANGE_MM
    part = trial.job.part.offcut(20 * reach, reach * (np.arange(20) + 0.5))
    arc = replace(trial, job=replace(trial.job, part=part), spots=tuple(range(20)), chord_mm=400.0)
    for radius in (3000.0, 600.0):
        rise, slopes = arc.rise_of(np.full(20, reach / radius))
        assert rise == pytest.approx(radius * (1.0 - np.cos(200.0 / radius)), rel=1e-9)
        step = 1e-6
        more = arc.rise_of(np.full(20, reach / radius + step))[0]
        assert slopes.sum() == pytest.approx((more - rise) / step, rel=1e-4)


@pytest.mark.parametrize("section", SECTIONS)
@pytest.mark.parametrize("action", SIGN)
def test_a_rise_is_read_back_as_the_work_that_made_it(section, action):
    job = core.job(rib(section=SECTIONS[section], line__radius="4000 mm"))
    planned = trial_plan(job, action, "heavy", gauge=TAPER)
    for ratio in (0.4, 1.0, 1.9):
        rise = planned.rise_of(ratio * planned.guess)[0]
        seen = trial_read(planned, rise, TAPER, "strip 7")
        assert seen.ratio == pytest.approx(ratio, rel=1e-9)
        assert (seen.action, seen.bite, seen.strokes, seen.source) == (
            action,
            "heavy",
            planned.strokes,
            "strip 7",
        )


def test_what_blurs_a_trial_adds_up_in_squares(trial):
    """Propagation of variances (JCGM 100) with the levers of hinges under a chord, half of each side."""
    at, half = np.array(trial.spots_mm) - 0.5 * trial.length_mm, 0.5 * trial.chord_mm
    lever = 0.5 * (half - np.abs(at))
    share, response = lever / lever.sum(), core.ResponsePrior()
    apart = at[:, None] - at
    uneven = response.uneven_sd**2 * share @ np.exp(-0.5 * (apart / response.uneven_length_mm) ** 2) @ share
    scatter = response.scatter**2 / trial.strokes * share @ share
    read = (
        TAPER.step_mm**2 / 12 + TAPER.repeatability_mm**2 + (STOCK_BOW_MM * (trial.chord_mm / 1e3) ** 2) ** 2
    )
    for factor in (0.5, 1.0, 2.0):
        rise = factor * trial.rise_mm
        by_hand = np.sqrt(uneven + scatter + PIECE_SD**2 + read / rise**2)
        assert trial_read(trial, rise, TAPER).sd == pytest.approx(by_hand, rel=5e-3)
    assert trial.sd == pytest.approx(trial_read(trial, trial.rise_mm, TAPER).sd, rel=1e-6)


# The plan.


@pytest.mark.parametrize("bite", ["light", "medium", "heavy"])
@pytest.mark.parametrize("section", SECTIONS)
def test_spots_keep_clear_of_ends_marks_and_each_other(section, bite):
    """Two flange widths from the ends and from zone to zone; no more strain than a pass may add."""
    job = core.job(rib(section=SECTIONS[section], line__radius="4000 mm"))
    planned = trial_plan(job, "shrink", bite, gauge=TAPER)
    at, clear, half = np.array(planned.spots_mm), 2.0 * job.part.section.flange_mm, 0.5 * planned.zone_mm
    assert planned.zone_mm == pytest.approx(job.part.sites.width_mm.mean())
    assert at[0] - half >= clear - 1e-9 and at[-1] + half <= planned.length_mm - clear + 1e-9
    assert len(at) == 4 and np.diff(at).min() >= clear + 2.0 * half - 1e-9
    mark = 0.5 * (planned.length_mm - planned.chord_mm)
    assert 0.0 < mark < at[0] - half
    strain = planned.strokes * job.tool.strain(bite) * job.tool.patch_length_mm / planned.zone_mm
    assert strain <= job.limits.per_pass.strain + 1e-12
    low, high = planned.rise_band_mm
    assert 5.0 * TAPER.sd_mm() < low < planned.rise_mm < high < TAPER.largest_mm
    assert planned.known_after < 0.5 * planned.known_before


def test_the_plan_foretells_what_the_seen_will_teach(trial):
    """sd of ln work of the same strokes, once what is expected has been read."""
    seen = trial_read(trial, trial.rise_mm, TAPER)
    row = ResponseModel(trial.job).alone("shrink", "medium", trial.strokes)
    told = ResponseModel(replace(trial.job, response=replace(trial.job.response, seen=(seen,))))
    assert np.sqrt(row @ told.cov @ row) == pytest.approx(trial.known_after, rel=1e-6)


def test_a_shorter_offcut_gets_fewer_spots():
    job = core.job(rib())
    wanted = trial_plan(job, "shrink", "medium").length_mm
    fewer = [trial_plan(job, "shrink", "medium", wanted - less, TAPER) for less in (0.0, 1.0, 200.0)]
    assert [len(t.spots) for t in fewer] == [4, 3, 2]
    assert [t.length_mm for t in fewer] == [wanted, wanted - 1.0, wanted - 200.0]
    assert fewer[0].sd < fewer[2].sd
    with pytest.raises(core.InputError, match="at least 320") as caught:
        trial_plan(job, "shrink", "medium", 319.0)
    assert caught.value.field == "length_mm"
    for length in (-5.0, 1e9, float("nan"), "long"):
        with pytest.raises(core.InputError):
            trial_plan(job, "shrink", "medium", length)


def test_strokes_keep_within_the_reach_of_the_gauge_and_the_strain_of_a_pass():
    tight = core.job(rib(limits={"strain_per_pass": 0.005, "strain_total": 0.25}))
    assert trial_plan(tight, "shrink", "medium", gauge=TAPER).strokes == 2  # 0.004 over 20 of 40 mm each
    short = trial_plan(core.job(rib()), "shrink", "medium")
    assert short.gauge.largest_mm == 5.0 > short.rise_band_mm[1]


@pytest.mark.parametrize(
    ("action", "bite", "field"), [("bend", "medium", "action"), ("shrink", "huge", "bite")]
)
def test_what_the_tool_does_not_have_is_refused(action, bite, field):
    with pytest.raises(core.InputError) as caught:
        trial_plan(core.job(rib()), action, bite)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("rise", "says"),
    [
        (-3.0, "bent to the other side"),
        (0.0, "more strokes, or a finer gauge"),
        (0.3, "more strokes, or a finer gauge"),
        (0.75, "check strokes, bite, chord and unit"),
        (14.9, "check strokes, bite, chord and unit"),
        (40.0, "taper gauge reads to 15.00 mm"),
        (float("nan"), "a number in mm"),
        ("5", "a number in mm"),
        (True, "a number in mm"),
    ],
)
def test_a_rise_that_no_response_gives_is_refused(rise, says):
    planned = trial_plan(core.job(rib()), "shrink", "medium", gauge=TAPER)
    strokes = {0.75: 15, 14.9: 4}.get(rise, planned.strokes)
    with pytest.raises(core.InputError, match=says) as caught:
        trial_read(replace(planned, strokes=strokes), rise, TAPER)
    assert caught.value.field == "rise_mm"


# What was seen, in a job and in its prior.


def test_what_was_seen_goes_through_a_job_document(trial):
    told = (SEEN, trial_read(trial, 4.0, TAPER))
    job = seen_job(*told)
    assert job.response.seen == told
    assert core.job(job.document).response == job.response
    assert core.job(rib(response={"seen": []})).response == core.ResponsePrior()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"action": "bend"}, "action"),
        ({"bite": "huge"}, "bite"),
        ({"strokes": 0}, "strokes"),
        ({"strokes": "many"}, "strokes"),
        ({"ratio": 0}, "ratio"),
        ({"ratio": 20.5}, "ratio"),
        ({"sd": 0}, "sd"),
        ({"sd": -0.1}, "sd"),
        ({"sd": 2.1}, "sd"),
        ({"source": ""}, "source"),
        ({"source": None}, "source"),
        ({"rise": 3}, "rise"),
    ],
)
def test_what_cannot_have_been_seen_is_refused(changes, field):
    with pytest.raises(core.InputError) as caught:
        core.job(rib(response={"seen": [asdict(SEEN), {**asdict(SEEN), **changes}]}))
    assert caught.value.field == f"response.seen[1].{field}"
    with pytest.raises(core.InputError, match=r"response\.seen.* a list is wanted"):
        core.job(rib(response={"seen": asdict(SEEN)}))


def test_conditioning_is_the_batch_solution():
    """Generalised least squares with all that was seen at once (information form, numpy alone)."""
    told = (SEEN, Seen("shrink", "heavy", 3.5, 0.7, 0.2, "a"), Seen("stretch", "light", 12, 1.4, 0.1, "b"))
    model, job = ResponseModel(seen_job(*told)), core.job(rib())
    bare, tool = ResponseModel(job), job.tool
    rows, values = np.zeros((3, model.size)), np.zeros(3)
    for row, seen in zip(rows, told, strict=True):
        names = [f"{a} {b}" for a in SIGN for b in tool.bites]
        row[0] = row[1 + ["shrink", "stretch"].index(seen.action)] = 1.0
        row[3 + names.index(f"{seen.action} {seen.bite}")] = 1.0
        row[-4], row[-2] = np.log(tool.bites[seen.bite]), np.log(seen.strokes)
        many = seen.strokes**job.response.exponent  # strokes harden as many do
        row[-1] = -0.5 * 0.004 * tool.bites[seen.bite] * many * 20.0 / 40.0
    values = np.log([s.ratio * s.strokes for s in told])
    weight = np.diag([s.sd**-2.0 for s in told])
    precision = np.diag(1.0 / bare.sd**2) + rows.T @ weight @ rows
    mean = np.linalg.solve(precision, bare.mean / bare.sd**2 + rows.T @ weight @ values)
    np.testing.assert_allclose(model.cov, np.linalg.inv(precision), atol=1e-10)
    np.testing.assert_allclose(model.mean, mean, atol=1e-10)
    field = slice(9, 9 + model.modes.shape[1])
    np.testing.assert_array_equal(model.cov[field, field], np.eye(model.modes.shape[1]))
    assert not model.mean[field].any()
    first = prior(seen_job(*told), model)
    np.testing.assert_array_equal(first.cov[model.sites :, model.sites :], model.cov)


def test_few_strokes_seen_leave_the_exponent_open_for_many():
    """One stroke known to two thousandths: ten are as unsure as p ln 10 and their hardening are."""
    told = replace(SEEN, strokes=1, sd=0.002)
    model, beliefs = ResponseModel(seen_job(told)), core.ResponsePrior()
    one, ten = (model.alone("shrink", "medium", m) for m in (1, 10))
    assert np.sqrt(one @ model.cov @ one) == pytest.approx(0.002, rel=1e-3)
    loads = 0.5 * 9 * 0.004 * 0.5  # nine strokes more on 20 of 40 mm
    open_sd = np.hypot(beliefs.exponent_sd * np.log(10.0), beliefs.hardening_sd * loads)
    assert np.sqrt(ten @ model.cov @ ten) == pytest.approx(open_sd, rel=1e-3)


def test_many_strokes_seen_tie_the_exponent_to_the_common_response():
    """Covariance after one reading of a sum: -var(common) var(p) ln m / var(sum) (Gaussian conditioning)."""
    told, beliefs = replace(SEEN, strokes=10), core.ResponsePrior()
    model, bare = ResponseModel(seen_job(told)), ResponseModel(core.job(rib()))
    row = bare.alone("shrink", "medium", 10)
    total = float(np.sum((row * bare.sd) ** 2)) + told.sd**2
    expected = -(beliefs.common_sd**2) * beliefs.exponent_sd**2 * np.log(10.0) / total
    assert model.cov[0, -2] == pytest.approx(expected, rel=1e-9)
    assert expected < 0.0


def test_advice_begins_from_what_was_seen():
    """The other action is told less, by what the two have in common only."""
    fresh, told = (core.refit(job, []) for job in (core.job(rib()), seen_job(replace(SEEN, ratio=0.5))))
    one, other = ("shrink", "medium"), ("stretch", "medium")
    assert told.response[one].mean < 0.75 * fresh.response[one].mean
    assert told.response[one].mean < told.response[other].mean < fresh.response[other].mean
    shares = [
        advice.response[key].sd / advice.response[key].mean
        for advice in (fresh, told)
        for key in (one, other)
    ]
    assert shares[2] < shares[3] < shares[1]
    assert told.next_pass.total > fresh.next_pass.total or told.next_pass.bite != fresh.next_pass.bite


def test_no_strip_is_tried_with_a_bite_that_no_pass_is_run_with():
    settings = {"light": "1 mm", "medium": "2 mm", "heavy": "5 mm"}
    machine = {"name": "bench machine", "settings_range": ["1 mm", "4 mm"]}
    job = core.job(rib(tool__settings=settings, machine=machine))
    with pytest.raises(
        core.InputError, match=r"bench machine cannot be set to 5 mm; light or medium is wanted"
    ):
        trial_plan(job, "shrink", "heavy")
    folds = core.job(rib(limits={"shrink_per_stroke": 0.005}))
    with pytest.raises(core.InputError, match=r"may fold under it; light or medium is wanted"):
        trial_plan(folds, "shrink", "heavy")
    assert trial_plan(folds, "stretch", "heavy").bite == "heavy"


@pytest.mark.parametrize("times", [0.7, 1.0])
def test_the_pass_after_a_trial_uses_the_bite_that_was_tried(times):
    """Answer and setting are known. (At 1.4 times, whole heavy strokes are too coarse for the limit.)"""
    job = core.job(rib())
    trial = trial_plan(job, "shrink", "heavy", gauge=TAPER)
    seen = trial_read(trial, times * trial.rise_mm, TAPER)
    planned = core.refit(core.job(core.starting_from(job.document, [seen])), []).next_pass
    assert (planned.action, planned.bite) == ("shrink", "heavy")
