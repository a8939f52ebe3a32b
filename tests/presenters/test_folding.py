"""Straight sectors of a flange are folded with the tool: no screen calls that shrinking."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

import core
from shopapp.next_text import next_lines
from shopapp.presenters import (
    card_work,
    next_step,
    outlines,
    part_rows,
    steps,
    turned_edge,
    wording,
    worked_side,
)
from shopapp.presenters.setup_kinds import KINDS
from tests.made_up import OUTLINES, flange


@cache
def standing(outline: str = "straight", **changes: str) -> steps.Standing:
    job = core.job(flange(outline=OUTLINES[outline], start_angle="10 deg", **changes))
    return steps.Standing(job, (), core.refit(job, []))


def card(outline: str) -> card_work.CardWork:
    work = card_work.work_now(standing(outline))
    assert work is not None
    return work


def test_the_card_of_a_straight_says_fold_and_has_the_sign_of_folding() -> None:
    work, sites = card("straight"), standing().job.part.sites
    assert work.word(sites, work.action, work.strokes) == "Fold up"
    assert work.word(sites, "stretch", work.strokes) == "Fold back"
    assert work.strip.arrows == "fold_up" and set(work.strip.folds) == {"fold_up"}
    assert "fold up" in work.text and "shrink" not in work.text
    told = {fact.label: fact.value for fact in work.facts}
    assert (
        "strokes close on 20 mm of the bend, the first on a spot by about 3.6°, a first guess" in told["Fold"]
    )


def test_list_next_and_terminal_say_fold() -> None:
    one = standing()
    assert one.advice is not None
    rows = part_rows.rows(one)
    assert {row.action for row in rows} == {"Fold up"} and {row.arrows for row in rows} == {"fold_up"}
    assert "fold up" in steps.next_step(one).text
    text = "\n".join(next_lines(one.job, one.advice))
    assert "next pass: fold up with the tool, " in text and "shrink" not in text


def test_why_a_pass_folds_no_more_is_said() -> None:
    advice = standing().advice
    assert advice is not None
    (said,) = [reason for reason in advice.reasons if "on purpose" in reason]
    assert said.startswith("The next pass folds no more than about 30° on purpose")


def test_a_mixed_outline_says_which_sectors_are_folded() -> None:
    work, sites = card("mixed"), standing("mixed").job.part.sites
    assert work.word(sites, work.action, work.strokes) == "Shrink, fold up"
    assert [i for i, sign in enumerate(work.strip.folds) if sign] == list(range(10, 15))
    advice = standing("mixed").advice
    assert advice is not None
    assert any("shrinking, folding up at sectors 1 to 15 comes first" in said for said in advice.reasons)


@pytest.mark.parametrize("outline", ["straight", "mixed"])
def test_the_first_pass_folds_a_modest_step(outline: str) -> None:
    """30 degrees a pass at most (common practice, no source), 10 to 40 degrees; a job may say other."""
    for changes, most in (({}, 30.0), ({"fold_per_pass": "12 deg"}, 12.0)):
        one = standing(outline, **changes)
        assert one.advice is not None
        part = one.job.part
        planned = next(p for p in one.advice.remaining if part.sites.folded(p.strokes))
        assert isinstance(part, core.TurnedEdge)
        inner = part.sites.folded(planned.strokes)[1:-1]  # those beside an arc are taken along by it
        lacks = planned.expected_deviation_mm[list(inner)]
        turned = np.array([np.degrees(part.tip_angle_rad(float(gap))) - 10.0 for gap in lacks])
        assert np.all(turned < most + 1.0) and turned.max() > 0.5 * most


def test_how_far_a_pass_turns_is_told() -> None:
    one = standing()
    assert one.advice is not None and one.advice.next_pass is not None
    told = turned_edge.angles_after(one.job, one.advice.next_pass)
    assert told.endswith("°") and 30 <= int(told.split("°")[0]) <= 41
    nothing = replace(one.advice.next_pass, strokes=np.zeros(len(one.job.part.sites), dtype=np.int64))
    assert turned_edge.angles_after(one.job, nothing) == ""


def test_last_entry_and_undo_say_fold() -> None:
    sites = standing().job.part.sites
    done = core.pass_done("shrink", [2] * len(sites))
    assert wording.entry(done, sites) == f"fold up pass, {2 * len(sites)} strokes"
    assert wording.later(done, sites).startswith("fold up pass")


def test_the_set_up_says_and_draws_folding() -> None:
    straight, mixed = standing().job, standing("mixed").job
    kind = KINDS["flange"]
    words = kind.ways, kind.several, kind.where
    assert "the tool folds it up" in worked_side.sentence(straight, *words)
    assert {sign for _, sign in outlines.with_worked_edge(straight).arrows} == {"fold_up"}
    said = worked_side.sentence(mixed, *words)
    assert said.startswith("The edge gets shorter (shrink) at sectors 1 to 10 and gets longer (stretch) at ")
    assert said.endswith(" and is folded up (fold) at sectors 11 to 15.")
    assert [sign for _, sign in outlines.with_worked_edge(mixed).arrows] == ["together", "fold_up", "apart"]


def test_what_the_metal_gives_is_told_of_what_was_done() -> None:
    """Stretching a hollow edge folds nothing back, whatever strokes elsewhere on that outline would do."""
    job = core.job(flange(outline=OUTLINES["mixed"], start_angle="10 deg"))
    n = len(job.part.sites)
    hollow = [i for i, run in enumerate(job.part.target) if run < 0.0]
    assert hollow and len(hollow) < n
    done = core.pass_done("stretch", [4 if i in hollow else 0 for i in range(n)])
    first = core.refit(job, [done])
    gaps = [round(float(gap), 2) for gap in first.expected_reading_mm]
    events = (done, core.gaps_read(gaps))
    read = steps.Standing(job, events, core.refit(job, events))
    assert read.advice is not None
    (told,) = next_step.responses(read, read.advice)
    assert told.startswith("Stretch, medium bite: this metal gives ")
