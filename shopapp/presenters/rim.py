"""The rim across: diameters or heights at marks round it, one after the other, on the screen that gaps are
read on.

All of a kind that are taken with one gauge since the last strokes are one entry of the log, corrected with
each more, so that a reading is on disk at once and what is common to them all, the edge they are measured
over, drops out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import fmean, median
from typing import Any, ClassVar

import core
from shopapp.presenters import gaps_view, meridians, rounds, wording
from shopapp.presenters.across import DIAMETERS, HEIGHTS, USUAL, Across
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import OK, OVER, TODO, UNDER, Header, Key, Mark, Strip
from shopapp.presenters.session import Session
from shopapp.presenters.views import GapsView

Event = dict[str, Any]
ANGLES = tuple(22.5 * k for k in range(8))
"""every second one tells two lobes from none; those between make them better known"""
LONGEST_ENTRY = 16
RimOf = Callable[[Session, Across, Sequence[float], core.Gauge], list[float]]


@dataclass(frozen=True)
class Hand:
    """What is not logged. at : index of the angle asked for by a tap, else None; doubted : index of one that
    is far from the others; finer : those between are asked for too"""

    of: tuple[str, int] = ("", 0)
    entry: str = ""
    refused: bool = False
    at: int | None = None
    doubted: int | None = None
    gauge: str = USUAL
    choosing: str = ""
    finer: bool = False
    last: str = ""


class RimPresenter(Presenter[GapsView]):
    """Keys: digit:C, erase, enter, right, again, undo, finer, gauge, choose:NAME, other, all."""

    across: ClassVar[Across] = DIAMETERS
    beside: ClassVar[str] = "rim_height"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._hand = Hand()
        self.touches = {
            "digit": self._type,
            "erase": lambda _: self._set(entry=self._in_hand().entry[:-1], refused=False),
            "enter": self._enter,
            "right": lambda _: self._set(doubted=None),
            "again": lambda _: self._set(at=self._in_hand().doubted, doubted=None),
            "undo": self._undo,
            "finer": lambda _: self._set(finer=True),
            "gauge": lambda _: self._set(choosing="" if self._in_hand().choosing else "gauge"),
            "choose": lambda name: self._set(gauge=name, choosing=""),
            "other": lambda _: self.beside,
            "all": lambda _: "next_step",
        }

    def enter(self) -> GapsView:
        """Enter, from a keyboard or a gauge that types: take what was typed."""
        return self.press("enter")

    def erase(self) -> GapsView:
        """Rub out the last character typed."""
        return self.press("erase")

    def take_character(self, character: str) -> None:
        """A typed character goes to the entry."""
        self._type(character)

    def tap(self, station: int) -> GapsView:
        """An angle of the strip was touched: it is the one to be read now."""
        at = self._angles()[station]
        return self.attempt(lambda _: self._set(at=at, doubted=None, entry=""), "")

    def read_by_itself(self, rim_of: RimOf) -> GapsView:
        """In a demo the disc answers at all angles not read yet; rim_of : in mm at angles, by a gauge."""

        def take(_: str) -> None:
            at = [i for i in self._angles() if i not in self._read()]
            gauge = core.gauge_from(self.across.gauges[self._in_hand().gauge])
            mm = rim_of(self.session, self.across, [ANGLES[i] for i in at], gauge)
            for i, read in zip(at, mm, strict=True):
                self._log(i, read)
            self._set(entry="", refused=False, at=None)

        return self.attempt(take, "")

    def view(self, go: str = "") -> GapsView:
        """The diameter or height that is asked for."""
        hand, read, at, across = self._in_hand(), self._read(), self._asked(), self.across
        question = "" if hand.doubted is None else self._question(hand.doubted)
        return GapsView(
            header=Header(f"{self.where()}, {across.title} {self._when()}", back="gaps"),
            strip=_strip(read, self._angles(), at, self._step_mm(), hand.doubted, across.one),
            station=self._station(at),
            expected="" if at is None else self._expected(read),
            entry=hand.entry,
            entry_unit="mm",
            last=hand.last,
            progress=f"{len(read)} of {len(self._angles())} read",
            question=question,
            complaint=self.complaint,
            mode="pad",
            leaves=(),
            pad=gaps_view.pad_keys(hand.entry, below_zero=False),
            keys=self._keys(question, len(read)),
            choosing=hand.choosing,
            choices=tuple(Key(f"choose:{n}", n, chosen=n == hand.gauge) for n in across.gauges),
            answered=at is not None and not question,
            go=go,
        )

    def _station(self, at: int | None) -> str:
        if at is None:
            return f"all {self.across.several} read"
        return f"{self.across.laid} {wording.degrees(ANGLES[at])}"

    def _expected(self, read: dict[int, float]) -> str:
        part, advice = _part(self.session), self.session.advice
        now = self.across.now_mm(part, part.target if advice is None else advice.remaining_work)
        return f"about {wording.size(round(fmean(read.values()) if read else now, 1))}"

    def _step_mm(self) -> float:
        """Of the gauge that the rim is measured with."""
        step: float = core.gauge_from(self.across.gauges[self._in_hand().gauge]).step_mm
        return step

    def _when(self) -> str:
        done = self.session.standing.passes_done
        return f"after pass {done}" if done else "before the first pass"

    def _in_hand(self) -> Hand:
        live = self.session.live
        of = (self.session.part_id, rounds.since_struck(live))
        if self._hand.of != of:
            current = self._current()
            named = None if current is None else _gauge_of(current)
            self._hand = Hand(of=of, gauge=named if named in self.across.gauges else USUAL)
        return self._hand

    def _set(self, **changes: Any) -> None:
        self._hand = replace(self._in_hand(), **changes)

    def _current(self) -> Event | None:
        """The entry of the log that holds them since the last strokes, as it counts."""
        live = self.session.live
        since = live[rounds.since_struck(live) :]
        return next((event for event in reversed(since) if event["event"] == self.across.event), None)

    def _read(self) -> dict[int, float]:
        """By index of their angle, those that this screen asks for."""
        current = self._current()
        if current is None:
            return {}
        angles = [meridians.parsed(f"{angle}") for angle in current["at_deg"]]
        pairs = zip(angles, current[self.across.values], strict=True)
        return {ANGLES.index(angle): float(mm) for angle, mm in pairs if angle in ANGLES}

    def _asked(self) -> int | None:
        """Tapped, else the first of the first ones that is not read."""
        hand, read = self._in_hand(), self._read()
        if hand.doubted is not None:
            return hand.doubted
        if hand.at is not None:
            return hand.at
        return next((i for i in self._angles() if i not in read), None)

    def _angles(self) -> tuple[int, ...]:
        """Indices of the angles that are asked for: every second one at first."""
        finer = self._in_hand().finer or any(i % 2 for i in self._read())
        return tuple(range(len(ANGLES))[:: 1 if finer else 2])

    def _type(self, character: str) -> None:
        hand = self._in_hand()
        entry = "" if hand.refused else hand.entry
        if len(entry) >= LONGEST_ENTRY or not character.isprintable():
            one = self.across.one
            raise core.InputError(one, entry + character, f"a {one} such as 401.5 is wanted")
        self._set(entry=entry + character, refused=False)

    def _enter(self, _: str) -> None:
        hand, at, one = self._in_hand(), self._asked(), self.across.one
        if not hand.entry.strip():
            raise core.InputError(one, None, f"type a {one} first")
        if at is None:
            raise core.InputError(one, None, "all are read; tap the one to be read again")
        self._set(refused=True)
        mm = core.parse_length_mm(hand.entry, one, bare_unit="mm")
        self._log(at, mm)
        last = f"{wording.degrees(ANGLES[at])}: {wording.length(mm)}"
        self._set(entry="", refused=False, at=None, last=last, doubted=at if self._far(at) else None)

    def _log(self, at: int, mm: float) -> None:
        """Those of this gauge with one more, in place of the entry without it."""
        hand, current = self._in_hand(), self._current()
        gauge = self.across.gauges[hand.gauge]
        goes_on = current is not None and _gauge_of(current) == hand.gauge
        read = {**(self._read() if goes_on else {}), at: mm}
        at_deg, values = [ANGLES[i] for i in sorted(read)], [read[i] for i in sorted(read)]
        event = self.across.made(at_deg, values, gauge=gauge)
        core.check_event(self.session.job, event, "rim")
        known = current["id"] if goes_on and current is not None else ""
        self.session.log(core.corrected(known, event) if known else event)

    def _far(self, at: int) -> bool:
        """Whether one is so far from the others that it looks like a slip."""
        read = self._read()
        others = [mm for i, mm in read.items() if i != at]
        return bool(others) and abs(read[at] - median(others)) > self.across.far * median(others)

    def _question(self, at: int) -> str:
        read = self._read()
        others = wording.length(median(mm for i, mm in read.items() if i != at))
        return f"{wording.length(read[at])} was read, the others say about {others}. Read it again, please."

    def _undo(self, _: str) -> None:
        event = rounds.last_entry(self.session.events)
        if event is None or event.get("with", event)["event"] != self.across.event:
            raise core.InputError("undo", None, f"no {self.across.one} is there to be undone")
        self.session.undo()
        self._set(entry="", last="", at=None, doubted=None)

    def _keys(self, question: str, read: int) -> tuple[Key, ...]:
        last = rounds.last_entry(self.session.events)
        one = self.across.one
        taken = last is not None and last.get("with", last)["event"] == self.across.event
        why = f"takes back the last {one}" if taken else f"no {one} to undo"
        undo = Key("undo", "Undo", enabled=taken, why=why)
        if question:
            return Key("again", "Read it again", main=True), Key("right", "It is right"), undo
        done, why = self._asked() is None, "" if read else f"no {one} is read yet"
        return (
            Key("all", "See result", main=done, enabled=read > 0, why=why),
            undo,
            *(() if len(self._angles()) == len(ANGLES) else (Key("finer", "4 more between"),)),
            Key("gauge", "Gauge", chosen=bool(self._in_hand().choosing)),
            self.across.other,
        )


class RimHeightPresenter(RimPresenter):
    """The same of the rim's heights over the middle."""

    across = HEIGHTS
    beside = "rim"


def _gauge_of(event: Event) -> str:
    """Name of the gauge that the rim was read with."""
    return str(core.gauge_from(event.get("gauge") or USUAL).name)


def _part(session: Session) -> core.ReadOnMeridians:
    part = (session.advice and session.advice.part) or session.job.part
    if not isinstance(part, core.ReadOnMeridians):
        raise core.InputError("rim", session.job.name, "a part with a rim round an axis is wanted")
    return part


def _strip(
    read: dict[int, float],
    asked: tuple[int, ...],
    at: int | None,
    step_mm: float,
    doubted: int | None,
    one: str,
) -> Strip:
    """What was read less its mean; above it where the rim stands out. asked : indices of the angles shown"""
    mean = fmean(read.values()) if read else 0.0
    off = {i: mm - mean for i, mm in read.items()}
    top = core.nice_top(max([2.0 * step_mm, *(abs(mm) for mm in off.values())]))
    unread = Mark(None, "", TODO)
    known = {i: Mark(mm, core.signed_length(mm), _state(mm, step_mm), i == doubted) for i, mm in off.items()}
    return Strip(
        position_mm=tuple(ANGLES[i] + 11.25 for i in asked),
        length_mm=180.0,
        names=tuple(wording.degrees(ANGLES[i]) for i in asked),
        marks=tuple(known.get(i, unread) for i in asked),
        range_mm=(-top, top),
        current=asked.index(at) if at in asked else None,
        scale_text=f"{one} less their mean{f' of {wording.length(mean)}' if read else ''}, mm",
    )


def _state(off_mm: float, step_mm: float) -> str:
    if abs(off_mm) <= step_mm:
        return OK
    return OVER if off_mm > 0.0 else UNDER
