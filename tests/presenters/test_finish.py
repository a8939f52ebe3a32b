"""The finish check: nothing is signed off that was not read, and not within."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

import core
from shopapp.dropped import DroppedInMemory
from shopapp.presenters import belongings
from shopapp.presenters.bench import BenchPresenter
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pieces import OVER
from shopapp.presenters.session import Session
from tests.presenters.conftest import SITES, events_of, key, settled


@pytest.fixture
def finish(session: Session, advise: Callable[..., None]) -> FinishPresenter:
    advise(verdict="within", next_pass=None, remaining=(), widest_gap_mm=0.31)
    session.log(core.pass_done("shrink", [1] * SITES))
    session.log(core.gaps_read([0.3] * SITES))
    return FinishPresenter(settled(session))


def fill(finish: FinishPresenter) -> None:
    finish.typed("90.2\n0,3\n0.2\n")
    finish.press("value:none")
    finish.press("not_needed")


def test_the_rows_have_gauge_limit_and_verdict(finish: FinishPresenter) -> None:
    view = finish.view()
    rows = {row.name: row for row in view.rows}
    assert list(rows) == ["gaps", "section angle", "twist", "flatness", "surface marks", "thickness"]
    gaps = rows["gaps"]
    assert (gaps.label, gaps.gauge, gaps.value) == (
        "Gaps to the inside template", "feeler leaves", "0.31 ± 0.10 mm",
    )  # fmt: skip
    assert (gaps.limit, gaps.verdict, gaps.editable) == ("at most 0.50 mm", "within", False)
    assert rows["section angle"].limit == "89.0 to 91.0°"
    assert rows["flatness"].limit == "at most 1.00 mm"
    assert (rows["section angle"].current, rows["section angle"].verdict) == (True, "not read")
    assert view.needs == "Section angle: not read yet, and 4 more"
    assert not key(view, "sign").enabled


def test_values_are_typed_one_after_the_other(finish: FinishPresenter, session: Session) -> None:
    fill(finish)
    rows = {row.name: row for row in finish.view().rows}
    assert (rows["section angle"].value, rows["section angle"].verdict) == ("90.2 ± 0.2", "within")
    assert (rows["flatness"].value, rows["flatness"].unit) == ("0.20 ± 0.06", "mm")
    assert rows["thickness"].verdict == "does not apply"
    event = events_of(session, "check_read")[0]
    assert (event["check"], event["value"], event["limit"], event["sd"]) == (
        "section angle", pytest.approx(90.2), "89.0 to 91.0°", 0.1,
    )  # fmt: skip


def test_sign_off_closes_the_part(finish: FinishPresenter, session: Session) -> None:
    fill(finish)
    assert key(finish.view(), "sign").enabled
    view = finish.press("sign")
    assert view.closed
    seal = core.short_seal(session.events[-1]["seal"])
    assert view.signed == (f"Signed off by A. Worker, 2026-03-14 15:09. Seal {seal}.",)
    assert len(seal) == 19
    assert [k.name for k in view.keys] == ["part", "reopen"]
    assert view.pad == ()
    assert not any(row.editable for row in view.rows)
    (event,) = events_of(session, "signed_off")
    assert event["verdicts"]["gaps"] == "within"
    assert finish.press("value:none").complaint != ""
    assert len(events_of(session, "check_read")) == 5


def test_nobody_is_nobody(finish: FinishPresenter, session: Session) -> None:
    fill(finish)
    view = finish.change("who", " ")
    assert view.needs == "the name of who checked is missing"
    assert finish.press("sign").complaint == "the name of who checked is missing"
    assert events_of(session, "signed_off") == []
    finish.change("who", "B. Checker")
    assert finish.press("sign").signed[0].startswith("Signed off by B. Checker")


@pytest.mark.parametrize(("typed", "verdict"), [("1.3", "outside"), ("0.95", "too close to call")])
def test_outside_needs_a_written_concession(
    finish: FinishPresenter, session: Session, typed: str, verdict: str
) -> None:
    """Guard band of 1.645 sd for 95 %: JCGM 106:2012, 8.3.2; sd 0.1 and limit 1.0 leave 0.84 to 1.16 open."""
    finish.typed(f"90\n{typed}\n0.2\n")
    finish.press("value:dressed out")
    finish.press("not_needed")
    assert finish.view().needs == f"Twist end to end: {verdict}. Sign-off needs a written concession"
    assert finish.press("sign").complaint.startswith("Twist")
    assert events_of(session, "signed_off") == []
    finish.change("concession", "accepted by the dome's designer")
    view = finish.press("sign")
    assert "With concession: accepted by the dome's designer" in view.signed[0]
    assert events_of(session, "signed_off")[0]["concession"] == "accepted by the dome's designer"


def test_gaps_outside_are_not_signed_off(
    finish: FinishPresenter, session: Session, advise: Callable[..., None]
) -> None:
    fill(finish)
    advise(verdict="outside")
    session.log(core.annealed())
    settled(session)
    assert finish.view().needs.startswith("Section angle: not read yet")  # the anneal made the checks old
    fill(finish)
    assert finish.view().needs == (
        "Gaps to the inside template: outside. Sign-off needs a written concession"
    )


def test_a_gap_outside_stays_so_once_it_is_signed(
    session: Session, finish: FinishPresenter, advise: Callable[..., None]
) -> None:
    advise(verdict="outside", widest_gap_mm=0.62, reasons=("The next pass is to stretch.",))
    session.log(core.annealed())
    settled(session)
    fill(finish)
    finish.change("concession", "agreed")
    assert finish.press("sign").closed
    view = PartPresenter(session).view()
    facts = {fact.label: (fact.value, fact.state) for fact in view.facts}
    assert facts["Widest gap"] == ("0.62 ± 0.10 mm", OVER)
    assert facts["Verdict"] == ("Outside tolerance, signed off with concession", OVER)
    assert view.reasons == () == NextPresenter(session).view().reasons  # no pass follows


def test_checks_from_before_the_last_pass_do_not_count(
    finish: FinishPresenter, session: Session, advise: Callable[..., None]
) -> None:
    fill(finish)
    session.log(core.pass_done("shrink", [1] * SITES))
    settled(session)
    rows = {row.name: row.verdict for row in finish.view().rows}
    assert set(rows.values()) == {"not read"}


@pytest.mark.parametrize(
    ("typed", "complaint"),
    [
        ("90 mm", "“90 mm”: 'mm' belongs to a length; an angle with its unit, such as '46 deg', is wanted"),
        ("-3", "“-3”: a size of 0 or more is wanted; leave the direction out"),
    ],
)
def test_a_wrong_value_stays_with_its_complaint(
    finish: FinishPresenter, session: Session, typed: str, complaint: str
) -> None:
    view = finish.typed(typed + "\n")
    row = next(row for row in view.rows if row.name == "section angle")
    assert (row.value, row.complaint) == (typed, complaint)
    assert events_of(session, "check_read") == []


def test_a_row_can_be_picked_and_undone(finish: FinishPresenter, session: Session) -> None:
    view = finish.press("row:surface marks")
    assert [k.text for k in view.pad] == ["None", "Dressed out", "Too deep"]
    view = finish.press("value:too deep")
    assert {row.name: row.verdict for row in view.rows}["surface marks"] == "outside"
    assert key(view, "undo").enabled
    view = finish.press("undo")
    assert {row.name: row.verdict for row in view.rows}["surface marks"] == "not read"
    assert finish.press("row:gaps").go == "gaps"
    assert finish.press("row:surface marks").complaint == ""
    assert finish.press("not_needed").complaint.endswith("this check has to be made")


def test_limits_in_words() -> None:
    by_name = {check.name: check.limit for check in core.CHECKS}
    assert by_name["thickness"] == "no limit set"
    assert by_name["surface marks"] == "none or dressed out"
    assert core.Check("x", "x", "x", "mm", low=1.2).limit == "at least 1.20 mm"


def test_a_figure_takes_the_place_of_one_that_was_not_taken(finish: FinishPresenter) -> None:
    """After a refusal, and where the check is gone to again; rubbing out changes what is there."""

    def value(view: Any) -> str:
        return next(row.value for row in view.rows if row.name == "section angle")

    finish.typed("90 mm\n")
    assert value(finish.typed("89")) == "89"
    finish.press("row:twist")
    finish.press("row:section angle")
    assert value(finish.typed("\b")) == "8"
    assert value(finish.typed("8")) == "88"
    finish.press("row:section angle")
    assert value(finish.typed("9")) == "9"


def test_what_was_typed_for_one_part_is_not_shown_for_another(
    finish: FinishPresenter, session: Session
) -> None:
    finish.typed("90")
    finish.change("concession", "agreed")
    session.open(session.shop.new_part(session.shop.open(session.part_id).job_document))
    view = finish.view()
    assert view.concession == ""
    assert all("90" not in row.value for row in view.rows)


def signed(finish: FinishPresenter) -> None:
    fill(finish)
    assert finish.press("sign").closed


def test_later_entries_stand_beside_the_signed_result(finish: FinishPresenter, session: Session) -> None:
    signed(finish)
    view = finish.press("reopen")
    assert not view.closed
    assert view.signed[-1] == "Later, and not counted until it is signed off anew: nothing yet."
    finish.press("row:twist")
    view = finish.typed("1.5\n")
    assert {row.name: row.verdict for row in view.rows}["twist"] == "outside"
    assert "twist 0.3 ± 0.2° within" in view.signed[1]
    assert view.signed[2].endswith("signed off anew: twist 1.5 (2026-03-14 15:09).")
    assert view.needs.startswith("Twist end to end: outside")
    facts = {fact.label: fact.value for fact in PartPresenter(session).view().facts}
    assert facts["Signed result"] == "0.31 ± 0.10 mm, within, 2026-03-14 15:09"
    assert facts["Since sign-off"] == "1 entry, not counted until signed off anew"
    (card,) = session.shop.parts()
    assert (card.summary["finished"], card.summary["state_text"]) == (
        False, "Within tolerance, not signed off anew",
    )  # fmt: skip
    finish.press("undo")
    assert finish.view().signed[2].endswith("an entry taken back (2026-03-14 15:09).")
    view = finish.press("sign")
    assert view.closed and len(view.signed) == 1
    assert len(events_of(session, "signed_off")) == 2


def test_undo_stops_at_the_sign_off(finish: FinishPresenter, session: Session) -> None:
    signed(finish)
    finish.press("reopen")
    assert session.undo() is None


def in_a_set(session: Session, document: dict[str, Any], checks: list[Any], number: int) -> FinishPresenter:
    more = {"checks": checks, "set": {"part": number, "of": 3}}
    session.open(session.shop.new_part({**document, **more}))
    session.log(core.gaps_read([0.3] * SITES))
    return FinishPresenter(settled(session))


def test_a_check_that_is_not_due_is_not_asked_for(finish: FinishPresenter, session: Session) -> None:
    document = session.shop.open(session.part_id).job_document
    checks = ["twist", {"name": "thickness", "at_least": "1.4 mm", "sampling": "first and last"}]
    view = in_a_set(session, document, checks, 2).view()
    row = view.rows[-1]
    assert (row.verdict, row.limit) == ("not due", "at least 1.40 mm, first and last")
    assert view.needs == "Twist end to end: not read yet"
    last = in_a_set(session, document, checks, 3)
    assert last.view().needs == "Twist end to end: not read yet, and 1 more"
    assert "not_needed" not in [k.name for k in last.view().pad]  # what a job names has to be made


def test_a_photo_is_kept_with_the_marks(finish: FinishPresenter, session: Session) -> None:
    assert finish.view().photo is None
    assert finish.press("row:surface marks").photo == ""
    finish.change("photo", "../rib.jpg")
    assert "below the data folder" in finish.press("value:none").complaint
    finish.change("photo", "photos/rib-3.jpg")
    assert finish.press("row:surface marks").photo == "photos/rib-3.jpg"  # back from typing its name
    view = finish.press("value:none")
    assert {row.name: row.photo for row in view.rows}["surface marks"] == "photos/rib-3.jpg"
    assert events_of(session, "check_read")[0]["photo"] == "photos/rib-3.jpg"


def test_the_newest_photos_are_there_to_be_touched(finish: FinishPresenter, session: Session) -> None:
    """Three of the four that lie there; one of before today by its day."""
    assert [k.name for k in finish.press("row:surface marks").pad if k.name.startswith("photo:")] == []
    now = session.now()
    days = (now, now - timedelta(seconds=20), now - timedelta(days=1), now - timedelta(days=9))
    names = ("a:1.JPG", "b.png", "c.jpeg", "d.jpg")
    session.folders.photos = DroppedInMemory({n: (at, b"") for n, at in zip(names, days, strict=True)})
    found = [k for k in finish.view().pad if k.name.startswith("photo:")]
    assert [k.text for k in found] == ["Photo 15:09:00", "Photo 15:08:40", "Photo 2026-03-13 15:09"]
    view = finish.press(found[0].name)
    assert view.photo == "photos/a:1.JPG" and key(view, found[0].name).chosen
    assert finish.press(found[0].name).photo == ""
    finish.press(found[1].name)
    finish.press("value:none")
    assert events_of(session, "check_read")[0]["photo"] == "photos/b.png"
    assert not any(k.name.startswith("photo:") for k in finish.press("row:twist").pad)


def test_a_gauge_past_its_calibration_is_warned_of_and_recorded(
    finish: FinishPresenter, session: Session
) -> None:
    leaves = {"name": "feeler leaves", "calibrated": "2025-03-13", "interval_months": 12}
    belongings.keep(session, "gauges", leaves)
    warning = "Feeler leaves: its calibration is past since 2026-03-13"
    assert finish.view().warnings == (warning,)
    signed(finish)
    rise = next(event for event in events_of(session, "check_read") if event["check"] == "flatness")
    assert (rise["calibrated"], rise["calibration_due"]) == ("2025-03-13", "2026-03-13")
    assert events_of(session, "signed_off")[0]["warnings"] == [warning]
    belongings.keep(session, "gauges", {**leaves, "calibrated": "2026-03-14"})
    finish.press("reopen")
    assert finish.view().warnings == ()


def test_a_change_outside_the_program_is_named_on_the_part(
    finish: FinishPresenter, session: Session, folder: core.MemoryFolder
) -> None:
    view = PartPresenter(session).view()
    assert {fact.label: fact.value for fact in view.facts}["Record"] == "sealed"
    part_id = session.part_id
    session.shop.close()
    folder.contents[part_id] = folder.contents[part_id].replace(b'"strokes":[1,', b'"strokes":[2,')
    with core.Shop(folder) as shop:
        again = Session(shop, session.now)
        (damaged,) = BenchPresenter(again).view().damaged
        assert "Entry 2, pass done of 2026-03-14 15:09 UTC, was changed" in damaged.text
        assert damaged.accept is not None
        BenchPresenter(again).press(damaged.accept.name)
        again.open(part_id)
        assert PartPresenter(again).view().warnings[0].startswith("Entry 2, pass done")
