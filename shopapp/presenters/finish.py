"""The finish check: every check with its gauge, limit and verdict, then the sign-off."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import core
from shopapp.presenters import checks, responses, rounds, steps, wording
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.checks import CHECKS, NOT_NEEDED, Check
from shopapp.presenters.pieces import OK, OVER, TODO, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import CheckRow, FinishView

BY_NAME: Mapping[str, Check] = {check.name: check for check in CHECKS}
NOT_SMOOTHED = "not smoothed yet"
DIGITS = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".")


class FinishPresenter(Presenter[FinishView]):
    """Keys: row:NAME, value:WORD, digit:C, erase, enter, not_needed, gaps, part, undo, sign."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._of: tuple[str, int] = ("", 0)
        self._current = ""
        self._entries: dict[str, str] = {}
        self._wrong: dict[str, str] = {}
        self._who: str | None = None
        self._concession = ""
        self.touches = {
            "row": self._go_to,
            "value": self._word,
            "digit": self._type,
            "erase": self._erase,
            "enter": self._enter,
            "not_needed": lambda _: self._log(self._check(), NOT_NEEDED),
            "gaps": lambda _: "gaps",
            "part": lambda _: "part",
            "undo": self._undo,
            "sign": self._sign,
        }

    def change(self, name: str, text: str) -> FinishView:
        """A text field was typed into. name : "who", "concession" or the name of a check"""
        self._fresh()
        if name == "who":
            self._who = text
        elif name == "concession":
            self._concession = text
        else:
            self._entries[BY_NAME[name].name] = text
        return self.view()

    def attempt(self, touch: Touch, rest: str) -> FinishView:
        """As in the base, for the part that is open now."""
        self._fresh()
        return super().attempt(touch, rest)

    def take_character(self, character: str) -> None:
        """A typed character goes to the check that is being read."""
        self._type(character)

    def enter(self) -> FinishView:
        """Enter was typed: take the value."""
        return self.press("enter")

    def erase(self) -> FinishView:
        """Rub out the last character typed."""
        return self.press("erase")

    def view(self, go: str = "") -> FinishView:
        """All checks, and whether the part can be signed off."""
        self._fresh()
        busy = self.busy()
        signed = _signed(self.session)
        rows = self._rows()
        needs = "" if signed else self._needs(rows)
        return FinishView(
            header=Header(f"{self.where()}, finish check", unit="", back="part"),
            rows=rows,
            who=signed.get("by", self._name()),
            concession=signed.get("concession", self._concession),
            needs=needs,
            signed=_signature(signed),
            keys=self._keys(bool(signed), needs, busy),
            pad=() if signed else self._pad(),
            closed=bool(signed),
            busy=busy,
            complaint=self.complaint,
            go=go,
        )

    def _checks(self) -> tuple[Check, ...]:
        return checks.checks_of(self.session.job)

    def _fresh(self) -> None:
        """Forget what was typed for another part, or for this one in another shape."""
        of = (self.session.part_id, self.session.round_start)
        if self._of != of:
            self._of, self._entries, self._wrong = of, {}, {}
            self._current, self._who, self._concession = "", None, ""
        if not self._current:
            self._current = self._next_open() or self._checks()[0].name

    def _name(self) -> str:
        return self.session.who if self._who is None else self._who

    def _check(self) -> Check:
        return BY_NAME[self._current]

    def _rows(self) -> tuple[CheckRow, ...]:
        read = checks.readings(self.session.live)
        smooth = () if self.session.job.finish != "visible" else (smoothing_row(self.session),)
        return (
            gaps_row(self.session),
            *smooth,
            *(self._row(check, read.get(check.name)) for check in self._checks()),
        )

    def _row(self, check: Check, event: dict[str, Any] | None) -> CheckRow:
        words, state = "not read", TODO
        value = ""
        if event is not None:
            words, state = check.verdict(event["value"], self.session.job.confidence)
            value = checks.value_text(check, event["value"])
        closed = self.session.standing.closed
        return CheckRow(
            name=check.name,
            label=check.label,
            gauge=check.gauge,
            value=self._entries.get(check.name) or value,
            unit=check.unit,
            limit=check.limit,
            verdict=words,
            state=state,
            complaint=self._wrong.get(check.name, ""),
            editable=not closed,
            current=not closed and check.name == self._current,
        )

    def _needs(self, rows: tuple[CheckRow, ...]) -> str:
        """The first thing that stands against signing off, "" when nothing does."""
        if self.session.stale:
            return "wait until the gaps are worked out"
        missing = [row for row in rows if row.verdict in ("not read", "not measured")]
        if missing:
            return f"{missing[0].label}: not read yet"
        bad = [row for row in rows if row.verdict in ("outside", "too close to call", NOT_SMOOTHED)]
        if bad and not self._concession.strip():
            return f"{bad[0].label}: {bad[0].verdict}. Sign-off needs a written concession"
        if not self._name().strip():
            return "the name of who checked is missing"
        return ""

    def _keys(self, signed: bool, needs: str, busy: str) -> tuple[Key, ...]:
        part = Key("part", "Part")
        if signed:
            return (part,)
        can = not needs and not busy
        last = rounds.last_entry(self.session.events)
        undo = last is not None and last["event"] == "check_read"
        return (
            Key("sign", "Sign off", main=True, enabled=can, why=needs),
            Key("gaps", "Read gaps"),
            Key("undo", "Undo", enabled=undo, why=wording.entry(last) if undo and last else ""),
            part,
        )

    def _pad(self) -> tuple[Key, ...]:
        """Keys for the check being read: words to choose from, or digits."""
        check = self._check()
        skip = () if check.required else (Key("not_needed", "Does not apply"),)
        if check.answers:
            return (*(Key(f"value:{word}", word.capitalize()) for word, _ in check.answers), *skip)
        typed = bool(self._entries.get(check.name, "").strip())
        digits = tuple(Key(f"digit:{c}", c) for c in DIGITS)
        return (*digits, Key("erase", "Rub out", enabled=typed), Key("enter", "Enter", enabled=typed), *skip)

    def _go_to(self, name: str) -> str | None:
        if name == "gaps":
            return "gaps"
        self._current = BY_NAME[name].name
        return None

    def _type(self, character: str) -> None:
        check = self._check()
        entry = self._entries.get(check.name, "")
        if check.answers or len(entry) >= 16 or not character.isprintable():
            raise core.InputError(check.name, entry + character, "touch one of the keys")
        self._entries[check.name] = entry + character

    def _erase(self, _: str) -> None:
        self._entries[self._current] = self._entries.get(self._current, "")[:-1]

    def _enter(self, _: str) -> None:
        check = self._check()
        try:
            value = check.parse(self._entries.get(check.name, ""))
        except core.InputError as error:
            self._wrong[check.name] = wording.sentence(error)
            raise
        self._log(check, value)

    def _word(self, word: str) -> None:
        check = self._check()
        if word not in dict(check.answers):
            raise core.InputError(check.name, word, "touch one of the keys")
        self._log(check, word)

    def _log(self, check: Check, value: float | str) -> None:
        """The reading, with gauge, limits and uncertainty as they were held against it."""
        if value == NOT_NEEDED and check.required:
            raise core.InputError(check.name, value, "this check has to be made")
        more = {"unit": check.unit, "gauge": check.gauge, "limit": check.limit, "sd": check.sd}
        self.session.log({**core.check_read(check.name, value), **more})
        self._entries.pop(check.name, None)
        self._wrong.pop(check.name, None)
        self._current = self._next_open() or check.name

    def _next_open(self) -> str | None:
        read = checks.readings(self.session.live)
        return next((check.name for check in self._checks() if check.name not in read), None)

    def _undo(self, _: str) -> None:
        last = rounds.last_entry(self.session.events)
        if last is None or last["event"] != "check_read":
            raise core.InputError("undo", None, "no check is there to be undone")
        self.session.undo()
        self._current = last["check"]

    def _sign(self, _: str) -> None:
        self.session.settle()
        rows = self._rows()
        needs = self._needs(rows)
        if needs:
            raise core.InputError("sign-off", None, needs)
        event = core.signed_off(self._name().strip())
        event["verdicts"] = {row.name: row.verdict for row in rows}
        if self._concession.strip():
            event["concession"] = self._concession.strip()
        self.session.log(event)
        try:
            responses.keep_learned(self.session)
        except core.StoreError as error:  # the part is signed off all the same
            self.complaint = f"Signed off. What it taught of its metal could not be kept: {error}"


def gaps_row(session: Session) -> CheckRow:
    """The gaps as the refit judges them; read after the last pass, or not read at all."""
    job = session.job
    known = None if rounds.unread_pass(session.live) else steps.measured(session.advice)
    verdict = "not read" if known is None else known.verdict
    return CheckRow(
        name="gaps",
        label=f"Gaps to the {job.template.name} template",
        gauge=job.gauge.name,
        value="" if known is None else steps.widest_text(known),
        unit="",
        limit=f"at most {wording.limit(job.tolerance_mm)}",
        verdict=verdict,
        state={"within": OK, "outside": OVER}.get(verdict, TODO),
        editable=False,
    )


def smoothing_row(session: Session) -> CheckRow:
    """Whether faces that stay in sight were smoothed since the last strokes that formed the part."""
    done = rounds.smoothed(session.live)
    return CheckRow(
        name="smoothing",
        label="Faces that stay in sight",
        gauge="eye",
        value="",
        unit="",
        limit="smoothed after the last pass",
        verdict="smoothed" if done else NOT_SMOOTHED,
        state=OK if done else TODO,
        editable=False,
    )


def _signed(session: Session) -> dict[str, Any]:
    """The sign-off of the part, {} while there is none."""
    return next((event for event in session.live if event["event"] == "signed_off"), {})


def _signature(signed: dict[str, Any]) -> str:
    if not signed:
        return ""
    concession = f" With concession: {signed['concession']}" if signed.get("concession") else ""
    return f"Signed off by {signed['by']}, {wording.moment(signed)}.{concession}"
