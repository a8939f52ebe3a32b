"""Checks of the finished part: which are due, what a document may say, the verdict by published rules."""

from __future__ import annotations

from typing import Any

import pytest

import core
from core.checks import ENDS, EVERY
from tests.made_up import rib

CALIPER = {"name": "caliper 4", "uncertainty": "0.02 mm", "calibrated": "2026-01-15", "interval_months": 12}


def job(*checks: Any, **more: Any) -> core.Job:
    return core.job(rib(checks=list(checks), **more))


def only(*checks: Any) -> core.Check:
    (check,) = job(*checks).checks
    return check


def test_a_job_that_names_none_has_the_usual_ones_of_its_kind() -> None:
    assert [check.name for check in core.job(rib()).checks] == [
        *("section angle", "twist", "flatness", "surface marks", "thickness"),
    ]
    assert job().checks == ()


def test_a_check_of_the_table_takes_the_rest_from_it() -> None:
    check = only({"name": "thickness", "at_least": "1.3 mm"})
    assert (check.label, check.gauge, check.sd) == ("Thinnest place", "micrometer", 0.01)
    assert (check.low, check.high, check.required) == (1.3, None, True)
    assert only("twist").high == 1.0


def test_an_own_check_says_all_of_it() -> None:
    check = only(
        {
            "name": "joggle",
            "quantity": "angle",
            "at_least": "44 deg",
            "at_most": "0.8 rad",
            "gauge": "bevel protractor",
        }
    )
    assert (check.unit, check.sd) == ("°", 0.1)
    assert (check.low, check.high) == (pytest.approx(44.0), pytest.approx(45.836624, abs=1e-5))
    owned = only({"name": "holes", "at_most": "0.3 mm", "gauge": CALIPER})
    assert (owned.gauge, owned.sd) == ("caliper 4", 0.02)
    assert owned.calibration is not None and str(owned.calibration.due) == "2027-01-15"
    ruled = only({"name": "width", "gauge": "steel rule"})
    assert ruled.sd == core.GAUGES["steel rule"].sd_mm()


@pytest.mark.parametrize(
    ("check", "field", "says"),
    [
        ({"name": "width"}, "checks[0].gauge", "what it is read with"),
        ({"name": "width", "gauge": "thumb"}, "checks[0].gauge", "uncertainty"),
        ({"name": "twist", "at_most": "1 mm"}, "checks[0].at_most", "angle"),
        ({"name": "twist", "at_most": "1"}, "checks[0].at_most", "unit"),
        ({"name": "length", "at_least": "2 mm", "at_most": "1 mm"}, "checks[0].at_least", "at_most"),
        ({"name": "length", "at_least": "-2 mm"}, "checks[0].at_least", "0 or more"),
        ({"name": "twist", "sampling": "now and then"}, "checks[0].sampling", "one part in n"),
        ({"name": "twist", "sampling": 0}, "checks[0].sampling", "one part in n"),
        ({"name": "twist", "required": "no"}, "checks[0].required", "true or false"),
        ({"name": "twist", "atmost": "1 deg"}, "checks[0].atmost", "at_most"),
        ({"name": "gaps"}, "checks[0].gauge", "what it is read with"),
        ({"name": "gaps", "gauge": "dial"}, "checks[0].name", "no other check"),
        ({"name": "twist", "gauge": {**CALIPER, "uncertainty": "0.1 deg", "calibrated": "May"}},
         "checks[0].gauge.calibrated", "a day such as"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_named(check: Any, field: str, says: str) -> None:
    with pytest.raises(core.InputError) as refused:
        job(check)
    assert refused.value.field == field
    assert says in str(refused.value)


def test_a_name_stands_once() -> None:
    with pytest.raises(core.InputError, match=r"checks\[1\]"):
        job("twist", "twist")


@pytest.mark.parametrize(
    ("sampling", "of", "due"),
    [
        (EVERY, 6, [1, 2, 3, 4, 5, 6]),
        (ENDS, 6, [1, 6]),
        (ENDS, None, [1, 2, 3, 4, 5, 6]),  # any may be the last
        (2, 6, [1, 3, 5]),
        (5, None, [1, 6]),
    ],
)
def test_which_parts_are_due(sampling: Any, of: int | None, due: list[int]) -> None:
    check = only({"name": "twist", "sampling": sampling})
    assert [n for n in range(1, 7) if check.is_due(core.SetPlace(n, of))] == due
    assert check.is_due(None)


def test_the_place_in_the_set_is_within_it() -> None:
    with pytest.raises(core.InputError, match="at most 6"):
        job(set={"part": 7, "of": 6})
    placed = job({"name": "twist", "sampling": ENDS}, set={"part": 2, "of": 6})
    (result,) = core.check_results(placed, [])
    assert (result.due, result.verdict, result.missing) == (False, "not due", False)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [(1.8, "within"), (1.6, "too close to call"), (1.4, "outside")],
)
def test_one_limit_by_iso_14253_1(value: float, verdict: str) -> None:
    """ISO 14253-1:2017 (from memory): at 95 % the guard band is g = 1.65 u for one limit; u = 0.1, 1.6 mm at
    least: within from 1.765, outside up to 1.435."""
    micrometer = {"name": "micrometer", "uncertainty": "0.1 mm"}
    one = job({"name": "thickness", "at_least": "1.6 mm", "gauge": micrometer})
    (result,) = core.check_results(one, [core.check_read("thickness", value)])
    assert result.verdict == verdict


def test_two_limits_by_the_example_of_jcgm_106() -> None:
    """JCGM 106:2012, 7.4 (from memory): 12.5 to 16.3, measured 13.6 with u = 1.8: conforms with 0.66. That is
    too close to call at 95 %, and within where 66 % are enough."""
    gauge = {"name": "gauge", "uncertainty": "1.8 mm"}
    check = {"name": "x", "at_least": "12.5 mm", "at_most": "16.3 mm", "gauge": gauge}
    for confidence, verdict in ((0.95, "too close to call"), (0.66, "within"), (0.67, "too close to call")):
        (result,) = core.check_results(job(check, confidence=confidence), [core.check_read("x", 13.6)])
        assert result.verdict == verdict


def test_the_last_reading_of_this_shape_counts_with_the_gauge_it_was_read_with() -> None:
    one = job("twist", {"name": "corner", "quantity": "look", "good": ["clean"], "bad": ["cracked"]})
    log = [
        core.check_read("twist", 0.9, sd=0.01),
        core.check_read("corner", "clean", photo="photos/a.jpg"),
    ]
    twist, corner = core.check_results(one, core.effective(log))
    assert (twist.verdict, twist.sd) == ("within", 0.01)  # too close to call with the 0.1 of the table
    assert (corner.verdict, corner.document["photo"]) == ("within", "photos/a.jpg")
    assert core.standing_against((twist, corner)) == ()
    later = core.check_results(
        one, core.effective([*log, core.pass_done("shrink", [1] * len(one.part.sites))])
    )
    assert [result.missing for result in later] == [True, True]
    assert core.standing_against(later) == later
    plain = twist.document
    assert (plain["value"], plain["unit"], plain["verdict"]) == (0.9, "°", "within")
    assert (plain["at_least"], plain["at_most"], plain["limit"]) == (None, 1.0, "at most 1.0°")
    assert (plain["due"], plain["sampling"]) == (True, "every part")


@pytest.mark.parametrize("photo", ["", "/tmp.jpg", "../a.jpg", "C:/a.jpg", "a\\b.jpg", "a//b.jpg", 7])
def test_a_photo_lies_below_the_data_folder(photo: Any) -> None:
    with pytest.raises(core.InputError, match="below the data folder"):
        core.check_read("surface marks", "none", photo=photo)


@pytest.mark.parametrize(("value", "says"), [("fine", "one of none"), (0.3, "one of none")])
def test_a_look_takes_its_words(value: Any, says: str) -> None:
    with pytest.raises(core.InputError, match=says):
        core.check_event(core.job(rib()), core.check_read("surface marks", value))
    with pytest.raises(core.InputError, match="a number in"):
        core.check_event(core.job(rib()), core.check_read("twist", "little"))
