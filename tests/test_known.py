"""What a shop knows of its metals: entries there and back, for another job, from a finished part."""

from __future__ import annotations

from dataclasses import asdict, replace
from datetime import date
from math import hypot, log, sqrt
from typing import Any

import numpy as np
import pytest

import core
from core import nearest as nearest_of
from core.estimate.fit import fit
from core.estimate.response import ResponseModel
from core.known import MOST_KEPT, Known, known_from, library_from
from core.nearest import (
    FACE_SD,
    MACHINE_SD,
    MARK_SD,
    PART_SD,
    PATCH_SD,
    SETTING_SD,
    THICKNESS_SD,
    TOOL_SD,
    known_from_seen,
    seen_from_known,
)
from core.readings.rounds import steps_of
from core.seen import Seen
from core.trial import trial_plan, trial_read
from tests.made_up import rib

DAY = date(2026, 11, 25)
TRIAL = Known(
    *("aluminium 5754-O", 1.5, 20.0, 15.0, "gripping", "shrink", "heavy", 1.8, 6.0, 0.008, 0.06),
    *("trial on an offcut", DAY),
)


def job(**changes: Any) -> core.Job:
    return core.job(rib(**changes))


# There and back.


def test_a_trial_is_kept_and_told_as_it_was_measured():
    """A job of another first guess is told the same strain of a stroke."""
    here = job()
    trial = trial_plan(here, "shrink", "medium")
    seen = trial_read(trial, 1.2 * trial.rise_mm, core.GAUGES["taper gauge"])
    kept = known_from_seen(seen, here, DAY)
    assert kept.strain == pytest.approx(seen.ratio * 0.004)
    back = seen_from_known(kept, here)
    assert (back.action, back.bite, back.strokes) == ("shrink", "medium", seen.strokes)
    assert back.ratio == pytest.approx(seen.ratio)
    assert back.sd == pytest.approx(hypot(seen.sd, PART_SD))
    guessed_half = seen_from_known(kept, job(tool__strain_per_stroke=0.002))
    assert guessed_half.ratio == pytest.approx(2.0 * seen.ratio)
    scaled = seen_from_known(kept, job(response={"scale": {"shrink": {"medium": 1.25}}}))
    assert scaled.ratio == pytest.approx(seen.ratio / 1.25)


def test_an_entry_goes_through_its_document():
    for entry in (TRIAL, replace(TRIAL, machine="left machine", part="a1", source="finished part Rib 3")):
        assert known_from(entry.document) == entry
    assert str(TRIAL) == (
        "trial on an offcut of aluminium 5754-O, 1.5 mm, shrink, heavy bite, 25 November 2026"
    )
    assert "heavy bite, on left machine, 25" in str(replace(TRIAL, machine="left machine"))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"metal": ""}, "metal"),
        ({"thickness_mm": 0}, "thickness_mm"),
        ({"action": "bend"}, "action"),
        ({"strain": 0.5}, "strain"),
        ({"sd": 0}, "sd"),
        ({"strokes": "many"}, "strokes"),
        ({"day": "yesterday"}, "day"),
        ({"rise": 3}, "rise"),
        ({"schema": 0}, "schema"),
    ],
)
def test_an_entry_that_cannot_be_is_refused(changes, field):
    with pytest.raises(core.InputError) as caught:
        known_from({**TRIAL.document, **changes})
    assert caught.value.field == f"response.{field}"


# The library.


def test_what_is_damaged_or_newer_is_left_out_named_and_handed_on():
    newer, torn = {**TRIAL.document, "schema": 3, "colour": "red"}, {"schema": 1}
    library = library_from([newer, TRIAL.document, torn, "?", None])
    assert library.entries == (TRIAL,)
    assert [text.split(":")[0] for text in library.left_out] == [
        *("responses[0].schema", "responses[2].metal", "responses[3]", "responses[4]"),
    ]
    more = library.adding([replace(TRIAL, bite="light", strength=0.4)])
    assert [entry.bite for entry in more.entries] == ["heavy", "light"]
    assert [row for row in more.stored if row in (newer, torn, "?", None)] == [newer, torn, "?", None]
    assert library_from({"not": "a list"}).adding([TRIAL]).entries == (TRIAL,)
    assert library_from(None) == core.Library()


def test_a_part_is_in_the_library_once():
    first = [replace(TRIAL, part="a", bite=bite) for bite in ("light", "heavy")]
    library = core.Library().adding([*first, TRIAL]).adding([replace(TRIAL, part="a", strain=0.007)])
    assert [(entry.part, entry.strain) for entry in library.entries] == [("", 0.008), ("a", 0.007)]


def test_one_entry_can_be_forgotten():
    """Of two alike one stays; what cannot be read is handed on; what is not there is no matter."""
    library = library_from(["?", TRIAL.document, TRIAL.document])
    once = library.without(TRIAL)
    assert once.entries == (TRIAL,) and once.stored[0] == "?"
    assert once.without(TRIAL).entries == ()
    assert once.without(replace(TRIAL, bite="light")).entries == (TRIAL,)


def test_of_too_many_the_oldest_go():
    library = core.Library().adding(replace(TRIAL, strokes=float(i + 1)) for i in range(MOST_KEPT + 3))
    assert [entry.strokes for entry in library.entries][:: MOST_KEPT - 1] == [4.0, MOST_KEPT + 3.0]


def test_it_is_kept_in_the_shops_settings():
    folder = core.MemoryFolder()
    with core.Shop(folder) as shop:
        shop.settings.set("responses", list(core.Library().adding([TRIAL]).stored))
    with core.Shop(folder) as shop:
        assert library_from(shop.settings.get("responses")).entries == (TRIAL,)


# To another job.


@pytest.mark.parametrize(
    ("changes", "extra", "says"),
    [
        ({}, 0.0, ""),
        ({"section__thickness": "2 mm"}, THICKNESS_SD * log(2.0 / 1.5), "; this job's is 2 mm"),
        (
            {"tool__patch_length": "25 mm"},
            PATCH_SD * log(1.25),
            "; this job's patch is 25 x 15 mm, not 20 x 15 mm",
        ),
        ({"tool__face": "knurled"}, FACE_SD, "; this job's tool face is knurled, not gripping"),
        ({"tool__bites": {"deep": 1.8}}, 0.0, "; this job calls that bite deep"),
        # of what an entry of before says nothing
        ({"tool__settings": {"heavy": "3 mm"}, "tool__name": "long jaws", "machine": {"name": "M"}}, 0.0, ""),
    ],
)
def test_what_differs_widens_and_is_said(changes, extra, says):
    seen = seen_from_known(TRIAL, job(**changes))
    assert seen.sd == pytest.approx(hypot(TRIAL.sd, PART_SD, extra))
    assert seen.source == f"{TRIAL}{says}"
    assert seen.ratio == pytest.approx(0.008 / (0.004 * 1.8))


SET = {"tool__settings": {"heavy": "2.5 mm"}, "tool__name": "long jaws", "machine": {"name": "left machine"}}


@pytest.mark.parametrize(
    ("changes", "extra", "says"),
    [
        ({}, 0.0, ""),
        (
            {"tool__settings": {"heavy": "3 mm"}},
            SETTING_SD * log(3.0 / 2.5),
            "; this job's ram setting is 3 mm, not 2.5 mm",
        ),
        (
            {"tool__settings": {"heavy": "mark 4"}},
            MARK_SD,
            "; this job's ram setting is mark 4, not 2.5 mm",
        ),
        ({"tool__settings": {"heavy": "0.25 cm"}}, 0.0, ""),
        ({"tool__settings": {}}, 0.0, ""),
        ({"tool__name": "spare jaws"}, TOOL_SD, "; this job's tool set is spare jaws, not long jaws"),
        ({"tool__name": None}, TOOL_SD, "; this job's tool set is one without a name, not long jaws"),
        ({"machine": {"name": "M"}}, MACHINE_SD, "; this job's machine is M"),
        ({"machine": {}}, 0.0, ""),
        (
            {"tool__name": "spare jaws", "machine": {"name": "M"}},
            hypot(TOOL_SD, MACHINE_SD),
            "; this job's tool set is spare jaws, not long jaws; this job's machine is M",
        ),
    ],
)
def test_another_ram_setting_set_of_jaws_or_machine_widens_and_is_said(changes, extra, says):
    """The widths are common practice, no source; that a ratio of 1.2 is as much in ln is arithmetic."""
    here = job(**SET)
    kept = known_from_seen(Seen("shrink", "heavy", 6.0, 1.1, 0.06, "trial"), here, DAY)
    assert (kept.setting, kept.setting_mm, kept.tool) == ("2.5 mm", 2.5, "long jaws")
    assert known_from(kept.document) == kept
    seen = seen_from_known(kept, job(**{**SET, **changes}))
    assert seen.sd == pytest.approx(hypot(0.06, PART_SD, extra))
    assert seen.source == f"{kept}{says}"
    assert seen.ratio == pytest.approx(1.1)


def test_a_ram_setting_far_off_is_not_used_and_that_of_another_bite_says_nothing():
    kept = known_from_seen(Seen("shrink", "heavy", 6.0, 1.1, 0.06, "trial"), job(**SET), DAY)
    far = {**SET, "tool__settings": {"heavy": "5 mm"}}
    assert seen_from_known(kept, job(**far)) is None
    none = {**SET, "tool__settings": {"heavy": "0 mm"}}
    assert seen_from_known(kept, job(**none)) is None
    other = {**SET, "tool__bites": {"deep": 2.2}, "tool__settings": {"deep": "5 mm"}}
    assert "ram setting" not in seen_from_known(kept, job(**other)).source


def test_of_two_entries_the_one_made_on_this_machine_with_these_jaws_is_nearer():
    """Also where the other one is newer."""
    seen = Seen("shrink", "heavy", 6.0, 1.1, 0.06, "trial")
    here = known_from_seen(seen, job(**SET), DAY)
    there = known_from_seen(seen, job(**{**SET, "machine": {"name": "M"}}), date(2026, 11, 26))
    (found,) = nearest_of([there, here], job(**SET))
    assert found.source == str(here)


def test_an_entry_of_before_is_read_and_kept_on():
    old = {name: value for name, value in TRIAL.document.items() if value is not None} | {"schema": 1}
    assert not {"setting", "setting_mm", "tool"} & set(old)
    assert known_from(old) == TRIAL
    assert core.Library().adding([known_from(old)]).entries == (TRIAL,)


def test_another_strength_is_rescaled_by_the_power_that_a_bite_has():
    """Work ~ strength ** (1 + bite_exponent), and the exponent's spread with that of a bite widens it."""
    seen, prior = seen_from_known(TRIAL, job(tool__bites={"deep": 2.2})), core.ResponsePrior()
    strain = seen.ratio * 0.004 * 2.2
    assert strain == pytest.approx(0.008 * (2.2 / 1.8) ** (1.0 + prior.bite_exponent))
    apart = log(2.2 / 1.8)
    assert seen.sd == pytest.approx(hypot(TRIAL.sd, PART_SD, prior.bite_exponent_sd * apart, prior.bite_sd))
    assert seen.source.endswith("this job's deep bite is 2.2 strong, not 1.8")


@pytest.mark.parametrize(
    "changes",
    [
        {"material": "aluminium 1050A-O"},
        {"section__thickness": "3 mm"},
        {"tool__patch_depth": "30 mm"},
        {"tool__bites": {"light": 0.4}},
        {"tool__face": "flat", "section__thickness": "2.3 mm", "tool__patch_length": "28 mm"},
    ],
)
def test_what_is_too_far_off_is_not_used(changes):
    """Another metal, and one of the same family too; thickness, patch, bite; or too much at once."""
    assert seen_from_known(TRIAL, job(**changes)) is None
    assert nearest_of([TRIAL], job(**changes)) == ()


def test_the_best_comes_first_one_for_each_action_and_bite():
    light = replace(TRIAL, bite="light", strength=0.4, sd=0.1)
    thick = replace(TRIAL, thickness_mm=2.0, strain=0.009)
    newer = replace(TRIAL, strain=0.0081, day=date(2026, 11, 26))
    others = [
        replace(TRIAL, action="stretch", bite=b, strength=s) for b, s in core.job(rib()).tool.bites.items()
    ]
    found = nearest_of([thick, light, TRIAL, newer], job())
    assert [(seen.action, seen.bite) for seen in found] == [("shrink", "heavy"), ("shrink", "light")]
    assert "26 November" in found[0].source
    assert len(nearest_of([TRIAL, light, *others], job())) == 4


def test_entries_of_one_part_count_as_one():
    """Alike in all that they share, k readings of variance k v tell what one of variance v does."""
    of_part = [replace(TRIAL, part="a", bite=b, strength=s) for b, s in (("light", 0.4), ("heavy", 1.8))]
    found = nearest_of([*of_part, replace(TRIAL, action="stretch")], job())
    alone = hypot(TRIAL.sd, PART_SD)
    assert {seen.action: seen.sd for seen in found} == pytest.approx(
        {"stretch": alone, "shrink": alone * sqrt(2.0)}
    )


def test_a_job_document_starts_from_what_was_seen():
    seen = nearest_of([TRIAL], job())
    plain = rib(response={"scatter": 0.2, "seen": [asdict(replace(TRIAL_SEEN, source="older"))]})
    document = core.starting_from(plain, seen)
    assert core.job(document).response == replace(core.ResponsePrior(), scatter=0.2, seen=seen)
    assert core.starting_from(rib(), ()) == rib()
    assert core.starting_from(plain, ())["response"] == {"scatter": 0.2}
    without, with_it = core.known_to(core.job(core.starting_from(rib(), seen)), seen[0])
    row = ResponseModel(job()).alone("shrink", "heavy", 6.0)
    assert without == pytest.approx(float(np.linalg.norm(row * ResponseModel(job()).sd)))
    assert with_it == pytest.approx(without * seen[0].sd / hypot(without, seen[0].sd))


TRIAL_SEEN = Seen("shrink", "medium", 6, 1.12, 0.06, "trial strip")


# What a finished part teaches.


def played(ratio: float, seed: int, **response: Any) -> tuple[core.Job, list[core.Event]]:
    """A bar whose strokes do ``ratio`` of the first guess, one pass of them and a round of gaps."""
    truth_job = job(tool__strain_per_stroke=0.004 * ratio, gauge="taper gauge")
    bar, here = core.simulated_bar(truth_job, seed), job(gauge="taper gauge", response=response)
    strokes = [3] * len(here.part.sites)
    bar.work("shrink", "medium", strokes)
    return here, [core.pass_done("shrink", strokes, "medium"), core.gaps_read(bar.gaps())]


def test_what_a_part_teaches_leads_from_what_was_believed_to_what_is():
    """The refit's posterior follows from the prior and what is handed on: Gaussian conditioning."""
    for response in ({}, {"seen": [asdict(TRIAL_SEEN)]}, {"common_sd": 0.1}):
        here, log_of_part = played(0.8, 4, **response)
        (told,) = core.refit(here, log_of_part).learned
        assert (told.action, told.bite, told.strokes) == ("shrink", "medium", 3.0)
        fitted, n = fit(here, steps_of(here, log_of_part)), len(here.part.sites)
        again = replace(here.response, seen=(*here.response.seen, told))
        followed = ResponseModel(replace(here, response=again))
        row = followed.alone("shrink", "medium", 3.0)
        assert row @ followed.mean == pytest.approx(row @ fitted.belief.mean[n:], abs=1e-9)
        assert row @ followed.cov @ row == pytest.approx(row @ fitted.belief.cov[n:, n:] @ row)


def test_what_is_handed_on_hardly_depends_on_the_first_guess():
    """A trial counted before is not counted again: the same bar tells the same, whatever was believed."""
    plain, told = (core.refit(*played(0.8, 4, **r)).learned[0] for r in ({}, {"seen": [asdict(TRIAL_SEEN)]}))
    assert log(told.ratio / plain.ratio) == pytest.approx(0.0, abs=0.05)
    assert told.sd == pytest.approx(plain.sd, rel=0.15)
    wider = seen_from_known(known_from_seen(plain, job(), DAY, "finished part Rib 3", part="a"), job())
    assert wider.sd == pytest.approx(hypot(plain.sd, PART_SD))


def test_a_part_without_a_pass_or_unread_teaches_nothing():
    here = job()
    assert core.refit(here, []).learned == ()
    assert core.refit(here, [core.pass_done("shrink", [3] * 30, "medium")]).learned == ()


def test_an_entry_names_the_machine_of_its_job():
    seen = Seen("shrink", "heavy", 6.0, 1.1, 0.1, "trial")
    with_machine = core.job(rib(machine={"name": "the old one by the window"}))
    assert known_from_seen(seen, with_machine, DAY).machine == "the old one by the window"
    assert known_from_seen(seen, core.job(rib()), DAY).machine == ""
