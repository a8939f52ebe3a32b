"""The finish check: nothing is signed off that was not read, and not within."""

from __future__ import annotations

from collections.abc import Callable

import pytest

import core
from shopapp.presenters import checks
from shopapp.presenters.finish import FinishPresenter
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
    assert rows["section angle"].limit == "89.0 to 91.0 °"
    assert rows["flatness"].limit == "at most 1.00 mm"
    assert (rows["section angle"].current, rows["section angle"].verdict) == (True, "not read")
    assert view.needs == "Section angle: not read yet"
    assert not key(view, "sign").enabled


def test_values_are_typed_one_after_the_other(finish: FinishPresenter, session: Session) -> None:
    fill(finish)
    rows = {row.name: row for row in finish.view().rows}
    assert (rows["section angle"].value, rows["section angle"].verdict) == ("90.2 ± 0.2", "within")
    assert (rows["flatness"].value, rows["flatness"].unit) == ("0.20 ± 0.06", "mm")
    assert rows["thickness"].verdict == "does not apply"
    event = events_of(session, "check_read")[0]
    assert (event["check"], event["value"], event["limit"], event["sd"]) == (
        "section angle", pytest.approx(90.2), "89.0 to 91.0 °", 0.1,
    )  # fmt: skip


def test_sign_off_closes_the_part(finish: FinishPresenter, session: Session) -> None:
    fill(finish)
    assert key(finish.view(), "sign").enabled
    view = finish.press("sign")
    assert view.closed
    assert view.signed == "Signed off by A. Worker, 2026-03-14 15:09."
    assert [k.name for k in view.keys] == ["part"]
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
    assert finish.press("sign").signed.startswith("Signed off by B. Checker")


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
    assert view.signed.endswith("With concession: accepted by the dome's designer")
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
    by_name = {check.name: check.limit for check in checks.CHECKS}
    assert by_name["thickness"] == "no limit set"
    assert by_name["surface marks"] == "none or dressed out"
    assert checks.Check("x", "x", "x", "mm", low=1.2).limit == "at least 1.20 mm"


def test_what_was_typed_for_one_part_is_not_shown_for_another(
    finish: FinishPresenter, session: Session
) -> None:
    finish.typed("90")
    finish.change("concession", "agreed")
    session.open(session.shop.new_part(session.shop.open(session.part_id).job_document))
    view = finish.view()
    assert view.concession == ""
    assert all("90" not in row.value for row in view.rows)
