"""The log: appended only, corrected and undone by events, single readings folded into rounds."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from core.errors import InputError

N = 4
PASS = {**core.pass_done("shrink", [1, 2, 3, 4]), "id": "p"}
GAPS = {**core.gaps_read([0.1, 0.2, None, "touching"]), "id": "g"}


def undo(of: str, own: str) -> dict[str, Any]:
    return {**core.withdrawn(of), "id": own}


def forms(events: list[dict[str, Any]]) -> list[str]:
    return [e["event"] for e in core.effective(events)]


def test_a_withdrawn_event_never_counted() -> None:
    assert forms([PASS, GAPS, undo("p", "u")]) == ["gaps_read"]


def test_an_undo_is_undone() -> None:
    assert forms([PASS, GAPS, undo("p", "u"), undo("u", "v")]) == ["pass_done", "gaps_read"]
    assert forms([PASS, undo("p", "u"), undo("u", "v"), undo("v", "w")]) == []


def test_a_correction_stands_in_the_place_of_what_it_corrects() -> None:
    better = core.pass_done("stretch", [0, 0, 1, 1], "light")
    first, second = core.effective([PASS, GAPS, {**core.corrected("p", better), "id": "c"}])
    assert (first["action"], first["bite"], first["strokes"]) == ("stretch", "light", [0, 0, 1, 1])
    assert first["id"] == "p" and second["event"] == "gaps_read"


def test_the_last_correction_counts_and_may_be_withdrawn() -> None:
    one, two = (core.pass_done("shrink", [k] * N) for k in (7, 8))
    log = [PASS, {**core.corrected("p", one), "id": "c"}, {**core.corrected("p", two), "id": "d"}]
    assert core.effective(log)[0]["strokes"] == [8] * N
    assert core.effective([*log, undo("d", "u")])[0]["strokes"] == [7] * N
    assert core.effective([*log, undo("d", "u"), undo("c", "v")])[0]["strokes"] == [1, 2, 3, 4]
    assert core.effective([*log, undo("p", "u")]) == []


def test_readings_in_a_row_make_one_round() -> None:
    log = [PASS, *(core.gap_read(i, 0.1 * i) for i in range(N)), PASS | {"id": "q"}, core.gap_read(0, 0.3)]
    rounds = [e for e in core.effective(log) if e["event"] == "gaps_read"]
    assert [r["by_station"] for r in rounds] == [{0: 0.0, 1: 0.1, 2: 0.2, 3: pytest.approx(0.3)}, {0: 0.3}]


def test_seating_the_template_again_or_another_one_starts_a_round() -> None:
    log = [core.gap_read(0, 0.1), core.template_seated(), core.gap_read(1, 0.2)]
    log += [core.gap_read(2, 0.3, template="outside"), core.gap_read(3, 0.3, template="outside")]
    rounds = [e for e in core.effective(log) if e["event"] == "gaps_read"]
    assert [sorted(r["by_station"]) for r in rounds] == [[0], [1], [2, 3]]


def test_a_note_does_not_part_a_round() -> None:
    log = [core.gap_read(0, 0.1), core.note("tea"), core.gap_read(1, 0.2)]
    assert forms(log).count("gaps_read") == 1


def test_a_later_reading_of_a_station_counts_with_its_gauge_and_its_confirmation() -> None:
    log = [core.gap_read(2, 3.5, confirmed=True), core.gap_read(2, 0.35, "dial")]
    (found,) = core.effective(log)
    assert found["by_station"] == {2: 0.35} and found["gauge"] == {2: "dial"} and found["confirmed"] == []


@pytest.mark.parametrize("of", ["nobody", "u"])
def test_pointing_at_nothing_is_refused(of: str) -> None:
    with pytest.raises(InputError) as caught:
        core.effective([PASS, undo(of, "u")])
    assert caught.value.field == "events[1].of"


@pytest.mark.parametrize(
    "make, field",
    [
        (lambda: core.pass_done("bend", [1]), "event.action"),
        (lambda: core.pass_done("shrink", [1.5]), "event.strokes[0]"),
        (lambda: core.pass_done("shrink", [-1]), "event.strokes[0]"),
        (lambda: core.pass_done("shrink", [True]), "event.strokes[0]"),
        (lambda: core.gaps_read([float("nan")]), "event.gaps_mm[0]"),
        (lambda: core.gaps_read(["close"]), "event.gaps_mm[0]"),
        (lambda: core.gap_read(-1, 0.1), "event.station"),
        (lambda: core.effective([{"event": "danced"}]), "events[0].event"),
        (lambda: core.effective([{"event": "pass_done"}]), "events[0].action"),
        (lambda: core.effective(["pass_done"]), "events[0]"),
    ],
)
def test_forms_are_checked(make: Any, field: str) -> None:
    with pytest.raises(InputError) as caught:
        make()
    assert caught.value.field == field


@given(st.lists(st.sampled_from(["pass", "gap", "undo", "correct", "seat"]), max_size=12), st.randoms())
def test_the_log_itself_is_never_changed(kinds: list[str], random: Any) -> None:
    """Whatever is appended, what is there stays as it is, and folding twice gives the same."""
    log: list[dict[str, Any]] = []
    for i, kind in enumerate(kinds):
        targets = [e["id"] for e in log if e["event"] in ("pass_done", "gap_read")]
        event = core.template_seated()
        if kind == "pass":
            event = core.pass_done("shrink", [random.randint(0, 3)] * N)
        elif kind == "gap":
            event = core.gap_read(random.randrange(N), 0.1)
        elif targets:
            of = random.choice(targets)
            event = (
                core.withdrawn(of)
                if kind == "undo"
                else core.corrected(of, core.pass_done("stretch", [1] * N))
            )
        log.append({**event, "id": str(i)})
    before = copy.deepcopy(log)
    once = core.effective(log)
    assert log == before
    assert core.effective(log) == once
    assert all(e["event"] not in ("withdrawn", "corrected") for e in once)
