"""Tool sets that lie ready: which one does which action, and that each is reckoned by its own patch.

Which set is taken first is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.errors import InputError
from core.estimate.response import ResponseModel
from core.refitting import refit
from tests.made_up import LINES, rib

SET = {"patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": 0.004}
SOFT = {**SET, "name": "soft set", "face": "soft-faced", "strain_per_stroke": 0.003}
SHRINKING = {**SET, "name": "shrinking set", "actions": ["shrink"], "bites": {"low": 0.5, "high": 1.5}}
STRETCHING = {**SET, "name": "stretching set", "actions": ["stretch"], "patch_depth": "8 mm"}


def taken(*more: dict[str, Any], **changes: Any) -> dict[str, str]:
    """Name of the set that does each action."""
    job = core.job(rib(tool__name="first set", more_tools=list(more), **changes))
    return {action: job.tools[action].name for action in job.actions}


def test_the_first_set_does_all_where_nothing_speaks_against_it() -> None:
    assert taken(SOFT, SHRINKING) == {"shrink": "first set", "stretch": "first set"}
    assert core.job(rib(more_tools=[SOFT])).choice == ()


def test_faces_in_sight_are_worked_with_the_set_that_leaves_no_marks() -> None:
    both = {"shrink": "soft set", "stretch": "soft set"}
    assert taken(SOFT, finish="visible") == both
    job = core.job(rib(tool__name="first set", more_tools=[SOFT], finish="visible"))
    told = 'the set "soft set" is taken: the set "first set" leaves marks on faces in sight.'
    assert job.choice == (f"To shrink, {told}",)  # the rib wants no stretching
    assert not any("marks" in said for said in job.warnings)
    assert job.choice[0] in refit(job, []).reasons
    # On metal that takes no marks, and where marks may stay, the first set is as good.
    assert taken(SOFT, finish="visible", material="mild steel DC01")["shrink"] == "first set"


@pytest.mark.parametrize("least", [{"smallest_flange": "60 mm"}, {"smallest_angle": "95 deg"}])
def test_a_set_that_enters_goes_before_one_that_leaves_no_marks(least: dict[str, str]) -> None:
    assert taken({**SOFT, **least}, finish="visible")["shrink"] == "first set"


def test_a_set_that_the_throat_is_deep_enough_for_is_taken() -> None:
    short = {**SET, "name": "short set", "patch_depth": "10 mm"}
    shallow = {"name": "bench machine", "throat": "12 mm"}
    assert taken(short)["shrink"] == "first set"
    assert taken(short, machine=shallow) == {"shrink": "short set", "stretch": "short set"}
    job = core.job(rib(more_tools=[short], machine=shallow))
    assert not any("throat" in said for said in job.warnings)
    assert "grips deeper than the throat of the machine" in job.choice[0]


def test_a_set_that_does_not_fold_thin_sheet_is_taken_to_shrink_with() -> None:
    close = {**SET, "name": "close set", "free_length": "2 mm"}
    thin: dict[str, Any] = {"section__thickness": "0.5 mm", "tool__free_length": "12 mm"}
    thin["tool__bites"] = {"medium": 1.0, "heavy": 1.8}
    assert core.job(rib(**thin)).bites("shrink") == ()
    assert taken(close, **thin) == {"shrink": "close set", "stretch": "close set"}  # no change of tool
    once = {**close, "actions": ["shrink"]}
    assert taken(once, **thin) == {"shrink": "close set", "stretch": "first set"}


def test_two_sets_of_one_action_each_do_both_actions_of_a_part() -> None:
    job = core.job(rib(tool=SHRINKING, more_tools=[STRETCHING], line=LINES["segments"]))
    assert job.actions == ("shrink", "stretch")
    assert (job.tools["shrink"].name, job.tools["stretch"].name) == ("shrinking set", "stretching set")
    advice = refit(job, [])
    assert {planned.action for planned in advice.remaining} == {"shrink", "stretch"}
    for planned in advice.remaining:
        assert planned.bite in job.tools[planned.action].bites
    assert set(advice.response) >= {("shrink", "high"), ("stretch", "medium")}


def test_each_action_is_reckoned_by_the_patch_of_its_own_set() -> None:
    """A job with the one set alone says the same of its action."""
    job = core.job(rib(tool=SHRINKING, more_tools=[STRETCHING]))
    model = ResponseModel(job)
    for action, bite, tool in (("shrink", "high", SHRINKING), ("stretch", "medium", STRETCHING)):
        alone = core.job(rib(tool=tool))
        np.testing.assert_allclose(
            model.guess(action, bite), ResponseModel(alone).guess(action, bite), rtol=1e-12
        )
        ones = np.ones(len(job.part.sites))
        np.testing.assert_allclose(job.under[action].edge_strain(ones), alone.part.edge_strain(ones))
    assert model.guess("stretch", "medium")[9] < model.guess("shrink", "high")[9] / 1.5


def test_a_bar_worked_by_two_sets_comes_to_its_template() -> None:
    job = core.job(rib(tool=SHRINKING, more_tools=[STRETCHING], line=LINES["segments"], gauge="taper gauge"))
    bar = core.simulated_bar(job, 5)
    log: list[Any] = []
    for _ in range(12):
        log.append(core.gaps_read(bar.gaps()))
        advice = refit(job, log)
        if advice.verdict == "within":
            break
        assert advice.next_pass is not None
        done = advice.next_pass.action, advice.next_pass.bite, [int(m) for m in advice.next_pass.strokes]
        bar.work(*done)
        log.append(core.pass_done(done[0], done[2], done[1]))
    assert advice.verdict == "within"
    assert bar.widest_gap_mm() < 0.6
    assert {event["action"] for event in log if event["event"] == "pass_done"} == {"shrink", "stretch"}


@pytest.mark.parametrize(
    ("entry", "field"),
    [({"patch_length": "20 mm"}, "more_tools[0].patch_depth"), ("soft set", "more_tools[0]")],
)
def test_a_set_that_is_wrong_is_named(entry: Any, field: str) -> None:
    with pytest.raises(InputError) as raised:
        core.job(rib(more_tools=[entry]))
    assert raised.value.field == field


def test_a_bite_of_the_other_set_is_refused_in_the_log() -> None:
    job = core.job(rib(tool=SHRINKING, more_tools=[STRETCHING]))
    with pytest.raises(InputError, match="bite"):
        refit(job, [core.pass_done("stretch", [1] * len(job.part.sites), "high")])


def test_the_smoothing_pass_takes_a_set_that_leaves_no_marks() -> None:
    stretching = {**STRETCHING, "face": "smooth"}
    job = core.job(rib(tool=SHRINKING, more_tools=[stretching], finish="visible"))
    assert job.smoother == "stretch"
