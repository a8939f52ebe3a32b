"""The set: made from a part, its parts side by side, another coil, what the next one starts from."""

from __future__ import annotations

from collections.abc import Callable
from math import exp
from pathlib import Path

import pytest

import core
from shopapp import recording
from shopapp.presenters import sets
from shopapp.presenters.bench import BenchPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.part_set import SetPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import RIB, SITES, a_pass, key, settled


def told(level: float) -> tuple[core.Seen, ...]:
    return (core.Seen("shrink", "medium", 5.0, 0.78 * exp(level), 0.05, "part"),)


def finished(session: Session, advise: Callable[..., None], level: float = 0.0, gap: float = 0.3) -> None:
    """One pass run, called within."""
    advise(verdict="within", widest_gap_mm=gap, learned=told(level), next_pass=None, remaining=())
    session.log(core.pass_done("shrink", [3] * SITES))
    settled(session)


def opened(session: Session) -> SetPresenter:
    assert PartPresenter(session).press("set").go == "set"
    return SetPresenter(session)


def test_the_next_part_starts_from_those_before(session: Session, advise: Callable[..., None]) -> None:
    first = session.part_id
    finished(session, advise)
    board = opened(session)
    view = board.view()
    assert view.start == "The next part starts from part 1"
    assert (view.header.back, key(view, "begin").main) == ("part", True)
    board.press("wanted:1")
    assert "3 wanted" in key(board.view(), "wanted:1").text
    assert board.press("begin").go == "part"
    document = session.shop.open(session.part_id).job_document
    assert (document["name"], document["set"]) == ("Shutter rib 4", {"id": first, "part": 2, "of": 3})
    assert document["response"]["seen"][0]["source"] == "part Shutter rib 3 of this set"
    assert not key(opened(session).view(), "begin").main
    cards = {card.name: card.in_set for card in BenchPresenter(session).view().cards}
    assert cards == {"Shutter rib 3": "", "Shutter rib 4": "part 2 of 3"}


def test_parts_stand_side_by_side(session: Session, advise: Callable[..., None]) -> None:
    finished(session, advise)
    opened(session).press("begin")
    finished(session, advise, -0.1, gap=0.62)
    head, one, two = opened(session).view().table
    assert head.head and [long for long, _ in head.cells][1:4] == ["passes", "strokes", "minutes"]
    assert [long for long, _ in one.cells] == ["1  Shutter rib 3", "1", "30", "0", "0.30 ± 0.10", "100 %"]
    assert two.bold and two.cells[4] == ("0.62 ± 0.10 !", "0.62!")


def test_another_coil_is_noted_with_the_part(session: Session, advise: Callable[..., None]) -> None:
    finished(session, advise)
    board = opened(session)
    view = board.press("coil")
    assert (
        key(view, "coil").chosen and view.start == "The next part starts from the first guess, of a new coil"
    )
    board.press("begin")
    assert [event["event"] for event in session.live] == ["batch_begun"]
    assert "seen" not in session.job.document.get("response", {})
    assert "coil" not in [k.name for k in PartPresenter(session).view().keys]


def test_the_key_of_a_part_notes_it_and_can_be_undone(session: Session, advise: Callable[..., None]) -> None:
    finished(session, advise)
    opened(session).press("begin")
    part = PartPresenter(session)
    part.press("coil")
    assert session.live[-1]["event"] == "batch_begun"
    part.press("undo")
    assert [event["event"] for event in session.live if event["event"] != "note"] == []


def test_a_change_that_nobody_noted_is_told(session: Session, advise: Callable[..., None]) -> None:
    """On the part, as soon as it has told, and in the table."""
    for _ in range(3):
        finished(session, advise)
        opened(session).press("begin")
    assert sets.noticed(session) == ()
    finished(session, advise, -0.7)
    (sentence,) = sets.noticed(session)
    assert sentence.startswith(
        "Shutter rib 6 answers 50 % weaker than Shutter rib 3 to Shutter rib 5: new coil"
    )
    assert sentence in PartPresenter(session).view().warnings
    view = opened(session).view()
    assert view.watch == (sentence,)
    assert view.table[-1].cells[0][0] == "4  Shutter rib 6, new coil?"
    part = PartPresenter(session)
    part.press("coil")
    settled(session)
    assert sets.noticed(session) == ()


def test_charts_mark_what_breaks_a_rule(session: Session, advise: Callable[..., None]) -> None:
    """Twelve made-up gaps: the eighth lies beyond 0.33 + 2.66 * 0.05, both its ranges beyond 3.27 * 0.05."""
    from shopapp import made_up_set

    set_id = made_up_set.fill(session.shop, session.job.document)
    session.set_shown = set_id
    board = SetPresenter(session)
    view = board.press("show:gap")
    drawing = view.picture.drawing
    assert drawing.values.signals == (7,) and drawing.ranges.signals == (6, 7)
    assert [line.text for line in drawing.values.lines if line.bold] == ["tolerance 0.50"]
    assert view.table == ()
    answers = board.press("show:response").picture.drawing.values
    assert answers.stretch == (0.0, 9.5) and len(answers.values) == 12
    assert any("Cpk" in text for text in board.press("show:gap").sentences)


def test_the_bench_lists_the_sets(session: Session, advise: Callable[..., None]) -> None:
    assert BenchPresenter(session).press("sets").go == "set"
    board = SetPresenter(session)
    assert board.view().sentences[0].startswith("No set yet.")
    finished(session, advise)
    opened(session).press("begin")
    row = board.press("list").rows[0]
    assert row.value == "Shutter rib 3 to Shutter rib 4"
    assert board.press(row.name).header.where == "Set of Shutter rib 3: 1 of 2 finished"


def test_the_summary_is_written_and_its_place_said(
    session: Session, advise: Callable[..., None], tmp_path: Path
) -> None:
    pytest.importorskip("fpdf")
    finished(session, advise)
    board = opened(session)
    assert "write" not in [one.name for one in board.view().keys]
    session.keep_set = recording.set_keeper(tmp_path)
    assert board.press("write").start == "Writing the summary …"
    session.finish(session.begin().run())
    folder = tmp_path / "records" / f"set-Shutter-rib-3-{session.part_id[:8]}"
    assert board.view().start == f"Summary written to {folder}"
    assert sorted(path.suffix for path in folder.iterdir()) == [".csv", ".json", ".pdf"]
    assert "1,Shutter rib 3,1,30,0.0,0.3," in (folder / "set-Shutter-rib-3.csv").read_text("utf-8")
    assert board.press("show:parts").start == "The next part starts from part 1"


def test_another_coil_has_no_batch_of_the_one_before(session: Session, advise: Callable[..., None]) -> None:
    session.open(session.shop.new_part({**RIB, "batch": "coil 17"}))
    finished(session, advise)
    board = opened(session)
    board.press("begin")
    assert session.job.document["batch"] == "coil 17"
    finished(session, advise)
    board.press("coil")
    board.press("begin")
    assert "batch" not in session.job.document


def test_the_next_part_is_done_as_last_time_and_says_how_it_is_corrected(
    session: Session, advise: Callable[..., None]
) -> None:
    """30 strokes worked, and 24 are planned now: 6 less, a fifth."""
    finished(session, advise)
    assert key(opened(session).view(), "begin").text == "Do it as last time"
    opened(session).press("begin")
    advise(verdict="not measured", remaining=(a_pass(),), next_pass=a_pass())
    settled(session)
    reason = PartPresenter(session).view().reasons[0]
    assert reason == (
        "As last time: Shutter rib 3 took shrink, medium bite, 30 strokes. Corrected, this part is planned "
        "with 20 % less in all."
    )
    session.log(core.batch_begun())
    settled(session)
    assert not any("last time" in text for text in PartPresenter(session).view().reasons)


def test_a_signed_part_is_done_again_at_one_touch(session: Session, advise: Callable[..., None]) -> None:
    first = session.part_id
    finished(session, advise)
    assert "as_last_time" not in [one.name for one in PartPresenter(session).view().keys]
    session.log(core.signed_off("A. Worker"))
    settled(session)
    view = PartPresenter(session).view()
    assert key(view, "as_last_time").text == "Do it as last time"
    assert PartPresenter(session).press("as_last_time").go == "part"
    document = session.shop.open(session.part_id).job_document
    assert document["set"] == {"id": first, "part": 2, "of": 2}
    assert document["response"]["seen"][0]["source"] == "part Shutter rib 3 of this set"


def test_another_coil_is_not_done_as_last_time(session: Session, advise: Callable[..., None]) -> None:
    finished(session, advise)
    assert key(opened(session).press("coil"), "begin").text == "Next part"
