"""The finish check: every check with its gauge, limit and verdict, then the sign-off."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import bow_facts, calibrations, checks, mistakes, photos, responses, rounds, wording
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import CheckRow, FinishView

NOT_NEEDED, NOT_KEPT = "does not apply", "Signed off. What it taught of its metal could not be kept"
DIGITS = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".")


class FinishPresenter(Presenter[FinishView]):
    """Keys: row:NAME, value:WORD, digit:C, erase, enter, photo:FILE (of a check that has one), not_needed,
    gaps, part, undo, sign, reopen. Text fields: "who", "concession", "photo" of the check in hand, or the
    name of a check."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._of: tuple[str, int] = ("", 0)
        self._current = ""
        self._entries: dict[str, str] = {}
        self._wrong: dict[str, str] = {}
        self._doubted: tuple[str, float] | None = None
        self._anew = False  # the check was just gone to, or its entry refused: a figure takes its place
        self._who: str | None = None
        self._concession = ""
        self._photo = ""
        self.touches = {
            "row": self._go_to,
            "value": self._word,
            "digit": self._type,
            "erase": self._erase,
            "enter": self._enter,
            "photo": self._take_photo,
            "not_needed": lambda _: self._log(self._check(), NOT_NEEDED),
            "gaps": lambda _: "gaps",
            "part": lambda _: "part",
            "undo": self._undo,
            "sign": self._sign,
            "reopen": lambda _: self.session.reopen(),
        }

    def change(self, name: str, text: str) -> FinishView:
        """A text field was typed into. name : "who", "concession", "photo" or the name of a check"""
        self._fresh()
        if name == "who":
            self._who = text
        elif name == "concession":
            self._concession = text
        elif name == "photo":
            self._photo = text
        else:
            self._entries[self._named(name).name] = text
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
        closed, event = self.session.standing.closed, self._signed_event()
        rows = self._rows()
        needs = "" if closed else self._needs(rows)
        return FinishView(
            header=Header(f"{self.where()}, finish check", unit="", back="part"),
            rows=rows,
            who=event.get("by", "") if closed else self._name(),
            concession=event.get("concession", "") if closed else self._concession,
            photo=self._photo if not closed and self._has_photo() else None,
            needs=needs,
            signed=_signed(self.session),
            warnings=() if closed else calibrations.past(self.session),
            keys=self._keys(closed, needs, busy),
            pad=() if closed or not self._current else self._pad(),
            closed=closed,
            busy=busy,
            complaint=self.complaint,
            go=go,
        )

    def _named(self, name: str) -> core.Check:
        """A check of the job. Raises KeyError for a name that no row has."""
        return {check.name: check for check in self.session.job.checks}[name]

    def _signed_event(self) -> dict[str, Any]:
        signed = self.session.sign_off
        return {} if signed is None else signed.event

    def _has_photo(self) -> bool:
        return bool(self._current) and self._check().photo

    def _fresh(self) -> None:
        """Forget what was typed for another part, or for this one in another shape."""
        of = (self.session.part_id, self.session.round_start)
        if self._of != of:
            self._of, self._entries, self._wrong = of, {}, {}
            self._current, self._who, self._concession, self._photo = "", None, "", ""
            self._doubted = None
        if not self._current:
            self._current = self._next_open() or next((c.name for c in self.session.job.checks), "")

    def _name(self) -> str:
        return self.session.who if self._who is None else self._who

    def _check(self) -> core.Check:
        return self._named(self._current)

    def _rows(self) -> tuple[CheckRow, ...]:
        """As read, with what is typed and not taken yet."""
        closed = self.session.standing.closed
        return tuple(
            replace(
                row,
                value=self._entries.get(row.name) or row.value,
                complaint=self._wrong.get(row.name, ""),
                editable=row.editable and not closed,
                current=not closed and row.name == self._current,
            )
            for row in checks.rows_of(self.session)
        )

    def _needs(self, rows: tuple[CheckRow, ...]) -> str:
        """The first thing that stands against signing off, "" when nothing does."""
        if self.session.stale:
            return "wait until the gaps are worked out"
        found = checks.against(rows, self._concession)
        if found:
            return found
        if not self._name().strip():
            return "the name of who checked is missing"
        return ""

    def _keys(self, closed: bool, needs: str, busy: str) -> tuple[Key, ...]:
        part = Key("part", "Part")
        if closed:
            return (
                part,
                Key("reopen", "Take up again", why="the signed result stands; what follows is later"),
            )
        can = not needs and not busy
        last = rounds.last_entry(self.session.events)
        undo = last is not None and last["event"] == "check_read"
        anew = "Sign off anew" if self._signed_event() else "Sign off"
        return (
            Key("sign", anew, main=True, enabled=can, why=needs),
            Key("gaps", "Read gaps"),
            Key("undo", "Undo", enabled=undo, why=wording.entry(last) if undo and last else ""),
            part,
        )

    def _pad(self) -> tuple[Key, ...]:
        """Keys for the check being read: words to choose from, or digits."""
        check = self._check()
        skip = () if check.required else (Key("not_needed", "Does not apply"),)
        if check.answers:
            words = tuple(Key(f"value:{word}", word.capitalize()) for word, _ in check.answers)
            return (*words, *self._photo_keys(), *skip)
        typed = bool(self._entries.get(check.name, "").strip())
        digits = tuple(Key(f"digit:{c}", c) for c in DIGITS)
        ends = (Key("erase", "Rub out", enabled=typed), Key("enter", "Enter", enabled=typed))
        return (*digits, *ends, *self._photo_keys(), *skip)

    def _photo_keys(self) -> tuple[Key, ...]:
        return photos.keys(self.session, self._photo) if self._has_photo() else ()

    def _take_photo(self, name: str) -> None:
        """Touched again it is not taken."""
        path = photos.path(name)
        self._photo = "" if self._photo == path else path

    def _go_to(self, name: str) -> str | None:
        if name == "gaps":
            return "gaps"
        self._photo = self._photo if name == self._current else ""
        self._current, self._anew = self._named(name).name, True
        return None

    def _type(self, character: str) -> None:
        check = self._check()
        entry = "" if self._anew else self._entries.get(check.name, "")
        if check.answers or len(entry) >= 16 or not character.isprintable():
            raise core.InputError(check.name, entry + character, "touch one of the keys")
        self._entries[check.name], self._anew = entry + character, False

    def _erase(self, _: str) -> None:
        self._entries[self._current], self._anew = self._entries.get(self._current, "")[:-1], False

    def _enter(self, _: str) -> None:
        check, self._anew = self._check(), True
        try:
            value = check.parse(self._entries.get(check.name, ""))
        except core.InputError as error:
            self._wrong[check.name] = mistakes.sentence(error)
            raise
        self._ask_again(check, value)
        self._log(check, value)

    def _ask_again(self, check: core.Check, value: float) -> None:
        """A bow that disagrees with what was read on the way is taken once it is entered a second time."""
        doubt = "" if self.session.stale else bow_facts.doubt(self.session.standing, check, value)
        if doubt and self._doubted != (check.name, value):
            self._doubted, self._wrong[check.name] = (check.name, value), doubt
            raise core.InputError(check.name, None, doubt)

    def _word(self, word: str) -> None:
        check = self._check()
        if word not in dict(check.answers):
            raise core.InputError(check.name, word, "touch one of the keys")
        self._log(check, word)

    def _log(self, check: core.Check, value: float | str) -> None:
        """The reading as it was held against its limits."""
        if value == NOT_NEEDED and check.required:
            raise core.InputError(check.name, value, "this check has to be made")
        self.session.log(checks.reading(self.session, check, value, self._photo.strip()))
        self._entries.pop(check.name, None)
        self._wrong.pop(check.name, None)
        self._current, self._photo = self._next_open() or check.name, ""

    def _next_open(self) -> str | None:
        results = core.check_results(self.session.job, self.session.live)
        return next((result.check.name for result in results if result.missing), None)

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
        told = [row for row in rows if row.value and row.value != row.verdict]
        event["values"] = {row.name: core.format_with_unit(row.value, row.unit) for row in told}
        past = calibrations.past(self.session)
        if past:
            event["warnings"] = list(past)
        if self._concession.strip():
            event["concession"] = self._concession.strip()
        self.session.log(event)
        try:
            responses.keep_learned(self.session)
        except core.StoreError as error:  # the part is signed off all the same
            self.complaint = mistakes.not_written(error, NOT_KEPT)


def _signed(session: Session) -> tuple[str, ...]:
    """What the part was signed off with, and what came later; () while it is not signed off."""
    signed = session.sign_off
    if signed is None:
        return ()
    event = signed.event
    concession = f" With concession: {event['concession'].rstrip('.')}." if event.get("concession") else ""
    seal = f" Seal {core.short_seal(event['seal'])}." if event.get("seal") else " Not sealed."
    found = [f"Signed off by {event['by']}, {wording.moment(event)}.{concession}{seal}"]
    if signed.closed:
        return tuple(found)
    values = event.get("values", {})
    result = "; ".join(f"{name} {values.get(name, '')} {word}" for name, word in _verdicts(event).items())
    found.append(f"Signed result, which stands: {' '.join(result.split())}." if result else "")
    later = (
        "; ".join(wording.later(event, session.job.part.sites) for event in signed.uncounted) or "nothing yet"
    )
    found.append(f"Later, and not counted until it is signed off anew: {later}.")
    return tuple(text for text in found if text)


def _verdicts(event: dict[str, Any]) -> dict[str, str]:
    found = event.get("verdicts", {})
    return found if isinstance(found, dict) else {}
