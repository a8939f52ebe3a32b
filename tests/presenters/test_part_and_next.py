"""The part with its passes, and what the gaps say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import core
from shopapp.presenters import mistakes, wording
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import RIB, SITES, a_pass, events_of, key, settled

ROUND = [0.3] * SITES


def after_a_pass(session: Session, read: bool = True) -> Session:
    planned = {"as_shown": True, "gap_mm": 0.9, "gap_sd_mm": 0.2}
    session.log(core.note("planned so", planned=planned))
    session.log(core.pass_done("shrink", [3] * SITES))
    if read:
        session.log(core.gaps_read(ROUND))
    return settled(session)


class TestPart:
    def test_a_new_part_asks_for_the_cautions_then_the_first_pass(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        advise(verdict="not measured")
        session.open(session.shop.new_part(RIB))
        part = PartPresenter(settled(session))
        view = part.view()
        assert key(view, "next").text == "Next pass"
        assert key(view, "next").why == "Pass 1: shrink, medium bite, 24 strokes"
        assert part.press("next").go == "cautions"
        assert (view.facts[0].label, view.facts[0].value, view.facts[0].state) == (
            "Widest gap, reckoned, not measured",
            "1.20 ± 0.10 mm",
            "todo",
        )
        assert view.outline.part == ()
        assert [f.value for f in view.facts if f.label == "Last entry"] == ["none"]

    def test_after_a_pass_the_gaps_are_the_next_thing(self, session: Session) -> None:
        part = PartPresenter(after_a_pass(session, read=False))
        view = part.view()
        assert (key(view, "next").text, key(view, "next").why) == ("Read gaps", "Read the gaps after pass 1")
        assert part.press("next").go == "gaps"

    def test_a_round_that_was_begun_goes_on(self, session: Session) -> None:
        after_a_pass(session, read=False)
        session.log(core.gap_read(0, 0.3))
        view = PartPresenter(settled(session)).view()
        assert key(view, "next").why == "Go on reading: 1 of 10 gaps read"
        session.log(core.note("That is all: 1 of 10 gaps read", round="ended"))
        assert key(PartPresenter(settled(session)).view(), "next").text == "Next pass"

    def test_passes_done_and_planned(self, session: Session, advise: Callable[..., None]) -> None:
        following = (a_pass(gap=0.6), a_pass("stretch", "light", each=1))
        advise(
            next_pass=following[0],
            remaining=following,
            before=(a_pass(gap=0.6, each=2),),
            gap_history_mm=(1.2,),
        )
        view = PartPresenter(after_a_pass(session)).view()
        done, following_row, last = view.rows
        assert (done.number, done.status, done.strokes, done.expected, done.was, done.state) == (
            1, "done", "30", "0.90 ± 0.39 mm", "1.20 mm", "over",
        )  # fmt: skip
        assert (following_row.number, following_row.status, following_row.expected) == (
            2, "next", "0.60 ± 0.10 mm",
        )  # fmt: skip
        assert (following_row.changed, following_row.note) == (True, "was: shrink, medium, 16 strokes")
        assert (last.action, last.arrows, last.bite, last.strokes) == ("Stretch", "apart", "light", "8")
        assert (last.changed, last.note) == (True, "new since the last reading")
        assert view.header.where == "Shutter rib 3, pass 2 of 3"

    def test_a_pass_as_planned_is_not_marked(self, session: Session, advise: Callable[..., None]) -> None:
        advise(before=(a_pass(),))
        assert [row.changed for row in PartPresenter(after_a_pass(session)).view().rows] == [False, False]

    def test_a_pass_done_otherwise_has_no_expectation(self, session: Session) -> None:
        planned = {"as_shown": False, "gap_mm": 0.9, "gap_sd_mm": 0.2}
        session.log(core.note("planned otherwise", planned=planned))
        session.log(core.pass_done("shrink", [1] * SITES))
        row = PartPresenter(settled(session)).view().rows[0]
        assert (row.expected, row.was, row.note) == ("", "not read", "done differently")

    def test_reasons_and_warnings_are_shown(self, session: Session, advise: Callable[..., None]) -> None:
        advise(reasons=("The next pass takes the light bite.",), warnings=("Strokes overlap.",))
        view = PartPresenter(after_a_pass(session)).view()
        assert view.reasons == ("The next pass takes the light bite.",)
        assert view.warnings == ("Strokes overlap.",)

    def test_side_effects_are_told(self, session: Session, advise: Callable[..., None]) -> None:
        advise(side_effects=core.OutOfPlane(-1.234, 0.3, np.radians(2.0), 0.01, "away"))
        facts = {f.label: f.value for f in PartPresenter(after_a_pass(session)).view().facts}
        assert facts["Out of plane by now, reckoned"] == "bow 1.23 ± 0.59 mm away, twist 2.0 ± 1.1°"

    def test_what_no_rule_and_no_level_would_show_is_left_out(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        """0.1 mm of bow and 0.1 degrees of twist are the least that is told."""
        for bow, twist, told in (
            (0.09, 0.09, None),
            (-0.11, 0.09, "bow 0.11 ± 0.10 mm away"),
            (0.0, 0.11, "twist 0.1 ± 0.1°"),
        ):
            advise(side_effects=core.OutOfPlane(bow, 0.05, np.radians(twist), 0.0008, "away"))
            facts = {f.label: f.value for f in PartPresenter(after_a_pass(session)).view().facts}
            assert facts.get("Out of plane by now, reckoned") == told

    def test_the_list_says_where_an_anneal_comes_and_why(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        limit = session.job.limits.shrink_since_anneal
        hard, weak = core.Hardened(limit, (0, 1)), core.Hardened(None, (2,))
        passes = (
            a_pass(),
            replace(a_pass(), anneal_first=True, hardened=hard),
            replace(a_pass(), anneal_first=True, hardened=weak),
            replace(a_pass("stretch"), anneal_first=True, hardened=hard),
        )
        advise(next_pass=passes[0], remaining=passes)
        assert [row.note for row in PartPresenter(settled(session)).view().rows] == [
            "",
            "anneal first, advised: the edge has hardened",
            "anneal first, advised: strokes do less than half",
            "anneal first: hardly any even stretch left",
        ]
        advise(next_pass=passes[1], remaining=passes[1:])
        session.log(core.gaps_read(ROUND))
        card = PassCardPresenter(settled(session)).view()
        assert card.facts[0].value == "anneal first, advised: the edge has hardened"
        assert [k.text for k in card.keys][:2] == ["Annealed", "Run without"]

    def test_bow_and_twist_stand_beside_every_pass(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        """Those planned, and once it is done the pass as the note before it keeps it."""
        sure = {"bow_sd_mm": 0.3, "twist_sd_rad": np.radians(0.2), "side": "away"}
        bowing = replace(a_pass(), bow_mm=-1.234, twist_rad=np.radians(0.8), **sure)
        told = "bow 1.23 ± 0.59 mm away, twist 0.8 ± 0.4°"
        advise(next_pass=bowing, remaining=(bowing, a_pass()))
        view = PartPresenter(settled(session)).view()
        assert [row.beside for row in view.rows] == [told, ""]
        assert told in NextPresenter(settled(session)).view().beside
        PassCardPresenter(settled(session)).press("done")
        assert PartPresenter(settled(session)).view().rows[0].beside == told

    def test_undo_takes_the_last_entry_back(self, session: Session) -> None:
        part = PartPresenter(after_a_pass(session, read=False))
        assert key(part.view(), "undo").why == "takes back shrink pass, 30 strokes"
        view = part.press("undo")
        assert [row.status for row in view.rows] == ["next"]
        assert not key(view, "undo").enabled
        assert part.press("undo").complaint == "there is nothing to take back"
        assert len(events_of(session, "pass_done")) == 1

    def test_an_anneal_is_logged(self, session: Session) -> None:
        PartPresenter(settled(session)).press("annealed")
        assert len(events_of(session, "annealed")) == 1

    def test_within_leads_to_the_finish_check(self, session: Session, advise: Callable[..., None]) -> None:
        advise(verdict="within", next_pass=None, remaining=())
        part = PartPresenter(after_a_pass(session))
        assert key(part.view(), "next").text == "Finish check"
        assert part.press("next").go == "finish"

    def test_a_signed_part_can_only_be_looked_at(self, session: Session) -> None:
        after_a_pass(session)
        session.log(core.signed_off("A. Worker"))
        view = PartPresenter(session).view()
        off = {k.name for k in view.keys if not k.enabled}
        assert off == {"gaps", "undo", "annealed"}
        assert view.warnings == ()  # what was to be minded while it was made
        assert [row.status for row in view.rows] == ["done"]
        assert PartPresenter(session).press("undo").complaint == "there is nothing to take back"

    def test_it_says_that_it_is_busy(self, session: Session) -> None:
        session.open(session.part_id)
        view = PartPresenter(session).view()
        assert view.busy == "Working out the next pass …"
        assert not key(view, "next").enabled


class TestNext:
    def test_what_the_gaps_say(self, session: Session, advise: Callable[..., None]) -> None:
        response = {
            ("shrink", "medium"): core.Response("shrink", "medium", 0.82e-3, 0.05e-3, 1e-3, True, 3.4),
            ("stretch", "light"): core.Response("stretch", "light", 1e-3, 0.3e-3, 1e-3, False),
        }
        advise(response=response)
        view = NextPresenter(after_a_pass(session)).view()
        assert (view.verdict, view.state) == ("Outside tolerance", "over")
        assert [(f.label, f.value) for f in view.facts] == [
            ("Widest gap", "1.20 ± 0.10 mm"),
            ("Where", "station 7"),
            ("Tolerance", "0.50 mm"),
            ("Chance of being within", "2 %"),
        ]
        assert view.response == (
            "Shrink, medium bite: this metal gives 18 % less than expected of 3.4 strokes on a spot (± 10 %)",
        )
        assert view.next_pass == "Pass 2: shrink, medium bite, 24 strokes"
        assert view.expected == "widest gap after it 0.42 ± 0.10 mm"
        assert view.strip is not None
        assert view.strip.tolerance_mm == (-0.5, 0.5)
        assert [k.name for k in view.keys if k.main] == ["next"]

    def test_an_answer_as_expected(self, session: Session, advise: Callable[..., None]) -> None:
        """The reasons below call it that up to a twentieth; two figures of one thing would contradict."""
        same = {("shrink", "medium"): core.Response("shrink", "medium", 0.96e-3, 0.05e-3, 1e-3, True)}
        advise(response=same)
        assert NextPresenter(after_a_pass(session)).view().response == (
            "Shrink, medium bite: this metal gives as much as expected of a stroke (± 10 %)",
        )

    def test_nothing_is_known_before_a_reading(self, session: Session, advise: Callable[..., None]) -> None:
        advise(verdict="not measured")
        next_step = NextPresenter(after_a_pass(session, read=False))
        view = next_step.view()
        assert (view.verdict, view.facts[0].value) == ("Not measured yet", "1.20 ± 0.10 mm")
        assert view.facts[0].label == "Widest gap, reckoned, not measured"
        assert view.response == ("What this metal gives a stroke: not known yet",)
        assert next_step.press("next").go == "gaps"

    @pytest.mark.parametrize(
        ("shift_mm", "tilt_rad", "text"),
        [
            (
                0.8,
                0.0,
                "0.80 mm outward at mid-length. The widest gap is then 0.30 mm.",
            ),
            (
                -0.8,
                -0.002,
                "0.80 mm inward at mid-length and the far end 0.80 mm inward against "
                "the near end. The widest gap is then 0.30 mm.",
            ),
        ],
    )
    def test_seat_the_template_again(
        self, session: Session, advise: Callable[..., None], shift_mm: float, tilt_rad: float, text: str
    ) -> None:
        advise(reseat=core.Reseat(shift_mm, tilt_rad, 0.3))
        next_step = NextPresenter(after_a_pass(session))
        view = next_step.view()
        assert view.reseat is not None
        assert view.reseat.text == f"Seat the template again: {text}"
        assert view.reseat.tilt_mm == pytest.approx(400 * tilt_rad)
        assert next_step.press("seated").go == "gaps"
        assert len(events_of(session, "template_seated")) == 1

    def test_suspects_come_before_the_next_pass(self, session: Session, advise: Callable[..., None]) -> None:
        advise(suspects=(core.Suspect(4, 3.5, 0.35, 0.25, 0.45, 9.0),))
        next_step = NextPresenter(after_a_pass(session))
        view = next_step.view()
        assert [k.text for k in view.suspects] == ["Station 5 again"]
        assert key(view, "next").why == "Read again at station 5"
        assert next_step.press("next").go == "gaps"
        assert session.focus_station == 4
        session.focus_station = None
        assert next_step.press("again:4").go == "gaps"
        assert session.focus_station == 4

    def test_too_close_to_call_without_a_pass(self, session: Session, advise: Callable[..., None]) -> None:
        advise(verdict="too close to call", next_pass=None, remaining=())
        view = NextPresenter(after_a_pass(session)).view()
        assert view.verdict == "Too close to call"
        assert key(view, "next").why.startswith("Seat the template anew and read again")
        assert view.next_pass == key(view, "next").why  # the screen says what its main key does

    def test_a_round_that_can_hardly_be_right_is_read_again_as_a_whole(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        """Neither a finer gauge nor the next pass helps it, and why stands before all other sentences."""
        odd = "This round can only be right if the heavy shrink bite does 500 % of what was believed."
        session.open(session.shop.new_part({**RIB, "tolerance": "0.03 mm"}))
        assert session.job.warnings
        for verdict in ("too close to call", "outside"):
            warnings = (*session.job.warnings, odd)
            advise(verdict=verdict, next_pass=None, remaining=(), reasons=("A reason.",), warnings=warnings)
            view = NextPresenter(after_a_pass(session)).view()
            assert view.next_pass == "Read the whole round again: as it stands it can hardly be right"
            assert key(view, "next").text == "Read again"
            assert view.reasons == (odd, "A reason.", *map(wording.capital, session.job.warnings))
            assert PartPresenter(session).view().warnings == (
                odd,
                *map(wording.capital, session.job.warnings),
            )
            assert NextPresenter(session).press("next").go == "gaps"
        assert len(events_of(session, "template_seated")) == 2

    def test_too_close_to_call_is_read_again_before_a_pass(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        """From Next as from Part, as a round of its own; only then the pass that may be planned."""
        advise(verdict="too close to call")
        shown = after_a_pass(session)
        assert key(PartPresenter(shown).view(), "next").text == "Read again"
        next_step = NextPresenter(shown)
        assert key(next_step.view(), "next").text == "Read again"
        assert next_step.view().next_pass.startswith("Seat the template anew and read again")
        assert "then, unless it is within: Pass 2: " in next_step.view().next_pass
        assert next_step.press("next").go == "gaps"
        assert len(events_of(session, "template_seated")) == 1
        session.log(core.gaps_read([0.3] * SITES))
        assert key(NextPresenter(settled(session)).view(), "next").text == "Next pass"

    def test_what_is_wrong_with_a_whole_round_is_told_plainly(self) -> None:
        """No value that somebody typed: it is not quoted as one."""
        said = "The gaps of this round look ten times too large: is the decimal point in the right place?"
        refused = core.InputError("events", "gaps that these strokes cannot have left", said)
        assert mistakes.in_log(refused) == f"Gaps that these strokes cannot have left. {said}"

    def test_a_log_that_cannot_be_worked_out(self, session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
        def refuse(job: object, events: object) -> None:
            raise core.InputError("events[1]", None, "something else is wanted")

        monkeypatch.setattr(core, "refit", refuse)
        next_step = NextPresenter(after_a_pass(session))
        view = next_step.view()
        assert view.complaint == "Entry 2 of the log: something else is wanted"
        assert [(k.name, k.text) for k in view.keys] == [("gaps", "Read gaps"), ("part", "Part")]
        assert next_step.press("gaps").go == "gaps"
        session.log(core.gaps_read([0.3] * SITES))
        part = PartPresenter(settled(session))
        assert key(part.view(), "next").text == "Read gaps" and part.press("next").go == "gaps"
        assert next_step.press("next").complaint == "wait until the next pass is worked out"
