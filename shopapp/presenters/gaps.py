"""The gaps: one reading after the other, each on disk before its key looks released."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from typing import Any

import core
from shopapp.presenters import (
    calibrations,
    gaps_view,
    meridians,
    rereading,
    rounds,
    scales,
    screening,
    steps,
    wording,
)
from shopapp.presenters.base import Presenter
from shopapp.presenters.gaps_hand import NONE, Hand, Question
from shopapp.presenters.rounds import Gap, Round
from shopapp.presenters.session import Session
from shopapp.presenters.views import GapsView

LONGEST_ENTRY = 16


class GapsPresenter(Presenter[GapsView]):
    """Keys: leaf:MM, digit:C, erase, enter, touching, beyond, skip, right, again, all, undo, seated, pad,
    leaves, gauge, template, meridian, other_angle, choose:NAME, next_meridian, rim."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._hand = Hand()
        self.touches = {
            "leaf": lambda mm: self._take(float(mm)),
            "digit": self._type,
            "erase": lambda _: self._set(entry=self._in_hand().entry[:-1], refused=False),
            "enter": self._enter,
            "touching": lambda _: self._take("touching"),
            "beyond": lambda _: self._take("beyond"),
            "skip": lambda _: self._take(None),
            "right": self._right,
            "again": self._again,
            "all": self._all,
            "undo": self._undo,
            "seated": self._seated,
            "pad": lambda _: self._set(pad=True),
            "leaves": lambda _: self._set(pad=False, entry=""),
            "gauge": lambda _: self._choosing("gauge"),
            "template": lambda _: self._choosing("template"),
            "meridian": lambda _: self._choosing("meridian"),
            "other_angle": lambda _: self._set(choosing="angle", entry=""),
            "choose": self._choose,
            "next_meridian": self._next_meridian,
            "rim": lambda _: "rim",
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
        """A station of the strip was touched (from 0): it is the one to be read now."""
        return self.attempt(lambda _: self._go_to(station), "")

    def view(self, go: str = "") -> GapsView:
        """The station that is asked for, and what is known of it."""
        hand, session = self._in_hand(), self.session
        station = self._station()
        session.meridian_deg = self._at_deg()
        gauge = self._gauge()
        told = self.complaint or calibrations.warning(session, gauge.name, gauge.calibration)
        return gaps_view.draw(session, self._round(), hand, station, self._question(station), told, go)

    def _in_hand(self) -> Hand:
        """What is in hand for the round that is open; empty when that is a new one."""
        of = (self.session.part_id, self.session.round_start)
        if self._hand.of != of:
            self._hand = Hand(of=of)
        session = self.session
        if session.focus_station is not None or session.focus_deg is not None:
            at_deg = self._hand.at_deg if session.focus_deg is None else session.focus_deg
            self._hand = replace(self._hand, station=session.focus_station, question=NONE, at_deg=at_deg)
            session.focus_station = session.focus_deg = None
        return self._hand

    def _set(self, **changes: Any) -> None:
        self._hand = replace(self._in_hand(), **changes)

    def _round(self) -> Round:
        """The open round, with what was chosen for its further readings."""
        hand, found = self._in_hand(), rounds.open_round(self.session.live, self._meridian())
        gauge = found.gauge if hand.gauge is None else hand.gauge
        template = found.template if hand.template is None else hand.template
        return replace(found, gauge=gauge, template=template)

    def _meridian(self) -> float:
        """The one that the template lies on: chosen, else the one read last, else where rounds begin."""
        hand, live = self._in_hand(), self.session.live
        if hand.at_deg is not None:
            return hand.at_deg
        read = meridians.read_now(live)
        return read[-1] if read else meridians.first_of(live)

    def _at_deg(self) -> float | None:
        """The same, for a part that is read on meridians."""
        return self._meridian() if meridians.has(self.session.job) else None

    def _scale(self) -> scales.Scale:
        return scales.scale_of(self.session.job, self._gauge())

    def _gauge(self) -> core.Gauge:
        gauge = self._round().gauge
        return self.session.job.gauge if gauge is None else core.gauge_from(gauge)

    def _template(self) -> core.Template:
        template = self._round().template
        return self.session.job.template if template is None else core.template_from(template)

    def _station(self) -> int | None:
        """The station asked for: tapped, else the next unread one, else one that is in doubt, else None."""
        hand, open_round = self._in_hand(), self._round()
        if hand.station is not None:
            return hand.station
        unread = steps.unread_stations(self.session.job, open_round)
        if unread:
            return unread[0]
        return next(iter(gaps_view.suspects(self.session, open_round)), None)

    def _question(self, station: int | None) -> Question:
        """Why this station's reading is asked for again; from the check at entry, else from the refit."""
        hand = self._in_hand()
        if hand.question.text or station is None or hand.station is not None:
            return hand.question
        return self._suspicion(station)

    def _suspicion(self, station: int) -> Question:
        return gaps_view.suspicion(self.session, self._round(), self._scale(), station)

    def _go_to(self, station: int) -> None:
        can = steps.readable(self.session.job, self._round())
        if station not in can:
            label = self.session.job.part.sites.label
            raise core.InputError(label, station + 1, "the template cannot be offered up there")
        self._set(station=station, question=self._suspicion(station), doubted=None, entry="")

    def _type(self, character: str) -> None:
        hand = self._in_hand()
        entry = "" if hand.refused else hand.entry
        if len(entry) >= LONGEST_ENTRY or not character.isprintable():
            raise core.InputError("entry", entry + character, "a reading such as 0.35 is wanted")
        self._set(entry=entry + character, pad=True, refused=False)

    def _enter(self, _: str) -> None:
        hand, text = self._in_hand(), self._in_hand().entry
        if not text.strip():
            raise core.InputError("entry", None, "type a reading first")
        self._set(refused=True)
        if hand.choosing == "angle":
            self._lay_on(meridians.parsed(text))
        else:
            self._take(self._scale().typed(text, self._gauge(), self._template()))

    def _take(self, gap: Gap) -> None:
        """Log a reading of the station asked for; question it when it does not fit, else move on."""
        station = self._station()
        if station is None:
            raise core.InputError("gap", None, "every station is read; tap the one to be read again")
        earlier = self._round().gaps.get(station, "")
        doubted = self._question(station).text != "" or self._in_hand().doubted == station
        twice = earlier != "" and doubted and self._same(gap, earlier)
        self._log(station, gap, confirmed=twice)
        doubt = NONE if gap is None or twice else self._doubt(station, gap)
        site = f"{self.session.job.part.sites.label} {station + 1}{wording.on_meridian(self._at_deg())}"
        last = f"{site}: {self._scale().told(gap)}"
        moved = station if doubt.text else self._after(station)
        self._set(entry="", refused=False, last=last, question=doubt, doubted=None, station=moved)

    def _log(self, station: int, gap: Gap, confirmed: bool) -> None:
        session, chosen = self.session, self._round()
        laid = {"gauge": chosen.gauge, "template": chosen.template, "at_deg": self._at_deg()}
        reading = self._scale().event(station, gap, confirmed, **laid)
        session.log(rereading.entry_for(session.events, session.live, reading))

    def _same(self, gap: Gap, earlier: Gap) -> bool:
        """True when a second reading agrees with the first to a step of the gauge: it is right then."""
        if gap is None or earlier is None:
            return False
        gauge = self._gauge()
        apart = abs(screening.in_mm(gap, gauge) - screening.in_mm(earlier, gauge))
        return apart <= gauge.step_mm * (1 + 1e-9)

    def _doubt(self, station: int, gap: float | str) -> Question:
        """Held against what was expected before this reading was taken."""
        before = self._round().without(station)
        mean, sd = gaps_view.expected(self.session, before)
        others = gaps_view.no_surprise(self.session, before, station)
        held = float(mean[station]), float(sd[station])
        doubt = self._scale().doubt(gap, *held, self._gauge(), others)
        expected = self._scale().band(*held) if doubt else ""
        if not doubt.endswith(screening.AGAIN) or isinstance(gap, str):
            return Question(doubt, expected)
        label, gauge_sd = self.session.job.part.sites.label, self._gauge().sd_mm()
        following = [i for i in steps.unread_stations(self.session.job, self._round()) if i > station][:2]
        fits = [i for i in following if abs(gap - mean[i]) <= wording.Z95 * hypot(sd[i], gauge_sd)]
        left_out = f"It would fit {label} {fits[0] + 1}: was one left out?" if fits else screening.AGAIN
        return Question(doubt.removesuffix(screening.AGAIN) + left_out, expected)

    def _after(self, station: int) -> int | None:
        """The next unread station beyond this one, going round; None lets the rest decide."""
        unread = steps.unread_stations(self.session.job, self._round())
        return next((i for i in unread if i > station), None)

    def _again(self, _: str) -> None:
        """What it was held against stays what is expected there."""
        station = self._station()
        asked = replace(self._question(station), text="")
        self._set(question=asked, entry="", doubted=station, station=station)

    def _right(self, _: str) -> None:
        station = self._station()
        gap = None if station is None else self._round().gaps.get(station)
        if station is None or gap is None or not self._question(station).text:
            raise core.InputError("gap", None, "there is no reading in doubt")
        self._log(station, gap, confirmed=True)
        self._set(question=NONE, doubted=None, entry="", station=self._after(station))

    def _all(self, _: str) -> str:
        open_round = self._round()
        if not open_round.read:
            raise core.InputError("gaps", None, "read at least one gap first")
        if steps.unread_stations(self.session.job, open_round) and not open_round.ended:
            total = steps.readable_count(self.session.job, open_round)
            note = core.note(f"That is all: {open_round.read} of {total} gaps read")
            self.session.log({**note, "round": "ended"})
        return "next_step"

    def _undo(self, _: str) -> str | None:
        """The last reading; before the first one the work that it would tell of, back to where it is run."""
        event = rounds.last_entry(self.session.events)
        if event is None or not gaps_view.undoable(event):
            raise core.InputError("undo", None, "no reading is there to be undone")
        self.session.undo()
        if event["event"] in rounds.STRUCK:
            return "bow" if event["event"] == "counter_done" else "pass_card"
        reading = event.get("with", event)
        if reading.get("confirmed") is True and self._holds(reading):  # the answer goes with the reading
            self.session.undo()
        laid = rounds.meridian_of(reading) if "at_deg" in reading else None
        back = f"taken back: {wording.entry(event, self.session.job.part.sites)}"
        self._set(entry="", question=NONE, last=back, station=reading.get("station"), at_deg=laid)
        return None

    def _holds(self, reading: dict[str, Any]) -> bool:
        """Whether the last entry is a reading of the same station."""
        last = rounds.last_entry(self.session.events)
        same = ("event", "station", "at_deg")
        return last is not None and all(last.get(name) == reading.get(name) for name in same)

    def _seated(self, _: str) -> None:
        self.session.log(core.template_seated())

    def _choosing(self, what: str) -> None:
        hand = self._in_hand()
        kept = "" if hand.choosing == "angle" else hand.entry
        self._set(choosing="" if hand.choosing == what else what, entry=kept)

    def _choose(self, name: str) -> None:
        what = self._in_hand().choosing
        if what == "gauge":
            self._set(gauge=scales.gauge_named(self.session.job, name), choosing="", pad=None, entry="")
        elif what == "meridian":
            self._lay_on(float(name))
        elif what == "template":
            core.template_from(name)
            self._set(template=name, choosing="", question=NONE)

    def _next_meridian(self, _: str) -> None:
        following = meridians.following(self.session.standing, self._meridian())
        if following is None:
            raise core.InputError("meridian", None, "all eighths of a turn are read; choose another angle")
        self._lay_on(following)

    def _lay_on(self, at_deg: float) -> None:
        """The template is laid on another meridian."""
        self._set(at_deg=at_deg, choosing="", station=None, question=NONE, doubted=None)
        self._set(entry="", refused=False, pad=None)
