"""A trial taken up by a part that is already begun: the same answer as if the job had started from it."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from typing import Any

import numpy as np
import pytest

import core
from core.advice import NOT_TOLD
from core.known import Known
from core.nearest import known_to
from core.taken import taken_in
from tests.made_up import rib

SEEN = core.Seen("shrink", "medium", 6.0, 0.8, 0.1, "trial on an offcut, 2 May")  # invented, as all here
BAR = core.simulated_bar(core.job(rib()), 5)
STROKES = [0, *[3] * 28, 0]
BAR.work("shrink", "medium", STROKES)
PASS = core.pass_done("shrink", STROKES, "medium")
ROUND = core.gaps_read(BAR.gaps(gauge=core.GAUGES["steel rule"]), gauge="steel rule")
TAKEN = core.trial_taken(SEEN)


def started(*seen: core.Seen) -> core.Job:
    return core.job(core.starting_from(rib(), seen))


def plain(value: Any) -> Any:
    """Arrays as lists, so that whole answers can be held against each other."""
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, tuple | list):
        return [plain(one) for one in value]
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    return (
        {f.name: plain(getattr(value, f.name)) for f in fields(value) if NOT_TOLD not in f.metadata}
        if hasattr(value, "__dataclass_fields__")
        else value
    )


def told(advice: core.Advice, without: tuple[str, ...] = ("reasons",)) -> Any:
    return repr({name: one for name, one in plain(advice).items() if name not in without})


@pytest.mark.parametrize("log", [[TAKEN], [TAKEN, PASS, ROUND], [PASS, TAKEN, ROUND]])
def test_the_answer_is_that_of_a_job_that_started_from_it(log: list[Any]) -> None:
    """Wherever it stands in the log before the last reading; what had been on show stays as it had been."""
    without = [event for event in log if event is not TAKEN]
    later = core.refit(core.job(rib()), log)
    always = core.refit(started(SEEN), without)
    beside = ("reasons",) if log[:1] == [TAKEN] else ("reasons", "before")
    assert told(later, beside) == told(always, beside)
    assert told(later) != told(core.refit(core.job(rib()), without))
    # against what had been on show each is told its own change of plan
    alike = [text for text in later.reasons[:-1] if not text.startswith("The next pass")]
    assert (alike or ROUND not in log) and all(text in always.reasons for text in alike)


def test_the_sentence_names_it_and_what_it_tells() -> None:
    here = core.job(rib())
    was, now = known_to(started(SEEN), SEEN)
    last = core.refit(here, [TAKEN]).reasons[-1]
    assert last == (
        "A trial was taken up after the part was begun: trial on an offcut, 2 May. Before any gap is read, "
        f"strokes with this bite are known to ± {196 * now:.0f} % instead of ± {196 * was:.0f} %."
    )
    assert now < 0.5 * was
    assert here.response.seen == () and "response" not in here.document


def test_it_stands_in_place_of_what_the_job_started_from() -> None:
    """Of the same action and bite; another bite stays. The last one of a kind counts."""
    old, other = (
        replace(SEEN, ratio=1.3, source="old trial"),
        replace(SEEN, bite="heavy", source="heavy trial"),
    )
    later = core.refit(started(old, other), [core.trial_taken(replace(SEEN, ratio=2.0)), TAKEN])
    assert told(later) == told(core.refit(started(other, SEEN), []))
    assert "2 May, in place of: old trial. Before" in later.reasons[-1]
    assert sum("taken up" in text for text in later.reasons) == 1


def test_undo_and_correction_are_as_for_all_events() -> None:
    here, taken = core.job(rib()), {**TAKEN, "id": "a"}
    undone = core.refit(here, [taken, core.withdrawn("a")])
    assert told(undone, ()) == told(core.refit(here, []), ())
    right = core.trial_taken(replace(SEEN, ratio=1.1))
    corrected = core.refit(here, [taken, core.corrected("a", right)])
    assert told(corrected, ()) == told(core.refit(here, [right]), ())


def test_a_part_that_took_it_up_hands_on_what_it_told_itself_alone() -> None:
    (later,) = core.refit(core.job(rib()), [TAKEN, PASS, ROUND]).learned
    (always,) = core.refit(started(SEEN), [PASS, ROUND]).learned
    assert later == always


def test_a_plan_that_was_on_show_before_it_is_the_one_of_then() -> None:
    """The next plan is held against what the operator saw: before the pass there was no trial yet."""
    here, log = core.job(rib()), [PASS, ROUND, PASS, ROUND]
    alone = core.refit(here, log)
    later = core.refit(here, [*log, TAKEN])
    assert repr(plain(later.before)) == repr(plain(alone.before))
    assert later.response["shrink", "medium"].mean != alone.response["shrink", "medium"].mean


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"action": "bend"}, "action", "one of shrink, stretch"),
        ({"bite": "hevy"}, "bite", "is 'heavy' meant?"),
        ({"strokes": 0}, "strokes", "more than 0"),
        ({"ratio": -1}, "ratio", "more than 0"),
        ({"ratio": 30}, "ratio", "at most 20"),
        ({"sd": "much"}, "sd", "number"),
        ({"source": ""}, "source", "a text"),
        ({"raito": 1}, "raito", "is 'ratio' meant?"),
    ],
)
def test_what_no_trial_of_this_job_can_be_is_refused(changes: dict[str, Any], field: str, says: str) -> None:
    with pytest.raises(core.InputError) as caught:
        core.refit(core.job(rib()), [PASS, {**TAKEN, **changes}])
    assert caught.value.field == f"events[1].{field}"
    assert says in str(caught.value)


def test_a_field_that_is_missing_is_named() -> None:
    event = {key: value for key, value in TAKEN.items() if key != "sd"}
    with pytest.raises(core.InputError, match=r"events\[0\]\.sd.*needs it"):
        core.refit(core.job(rib()), [event])
    with pytest.raises(core.InputError, match=r"events\[1\]\.with\.ratio"):
        bad = {"event": "corrected", "of": "a", "with": {**TAKEN, "ratio": 0}}
        core.refit(core.job(rib()), [{**TAKEN, "id": "a"}, bad])


def test_it_goes_through_the_document_and_leaves_a_round_whole() -> None:
    singles = [core.gap_read(i, 0.1 * i) for i in range(3)]
    text = core.write_document(rib(), [singles[0], TAKEN, *singles[1:]])
    read = core.read_document(text)
    assert [one.seen for one in taken_in(core.effective(read.events))] == [SEEN]
    (whole,) = (e for e in core.effective(read.events) if e["event"] == "gaps_read")
    assert list(whole["by_station"]) == [0, 1, 2]
    assert core.job_with_trials(read.job, core.effective(read.events)).response.seen == (SEEN,)


# Which trials of the library are nearer than what a part has.

DAY = date(2026, 5, 2)
TRIAL = Known(
    *("aluminium 5754-O", 1.5, 20.0, 15.0, "gripping", "shrink", "heavy", 1.8, 6.0, 0.008, 0.06),
    *("trial on an offcut", DAY),
)


def nearer(*entries: Known, had: tuple[core.Seen, ...] = ()) -> list[core.Seen]:
    return list(core.nearer(entries, started(*had)))


def test_a_trial_is_nearer_than_a_first_guess_and_once_taken_up_no_more() -> None:
    (found,) = nearer(TRIAL)
    assert found == core.nearest([TRIAL], core.job(rib()))[0]
    assert nearer(TRIAL, had=(found,)) == []
    again = core.job_with_trials(core.job(rib()), [core.trial_taken(found)])
    assert core.nearer([TRIAL], again) == ()


def test_of_the_same_bite_only_what_is_as_near_counts() -> None:
    (found,) = nearer(TRIAL)
    assert nearer(TRIAL, had=(replace(found, sd=found.sd - 0.02, source="other"),)) == []
    assert nearer(TRIAL, had=(replace(found, sd=found.sd + 0.02, source="other"),)) == [found]
    assert nearer(TRIAL, had=(replace(found, ratio=2.0),)) == [found]  # read again the same day
    assert nearer(TRIAL, had=(replace(found, bite="light"),)) == [found]


def test_other_metals_and_finished_parts_are_no_trials() -> None:
    assert (
        nearer(
            replace(TRIAL, metal="mild steel DC04"),
            replace(TRIAL, part="a1"),
            replace(TRIAL, thickness_mm=3.0),
        )
        == []
    )
