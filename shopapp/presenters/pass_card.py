"""The pass card: only the next pass, what to set, where to put the strokes, and what was really done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isnan
from typing import Any

import core
from shopapp.presenters import pacer, steps, strips, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.counts import Counts, brackets
from shopapp.presenters.pacer import Leg
from shopapp.presenters.pieces import TODO, Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import PacerView, PassCardView


class PassCardPresenter(Presenter[PassCardView]):
    """Keys: done, differently, not_done, annealed, pacer; while editing: by_station, by_zone, plus, minus,
    clear, as_shown, bite:NAME, action:NAME, save, cancel."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._counts: Counts | None = None
        self._counts_of = ("", 0)
        self.touches = {
            "done": self._done,
            "differently": self._differently,
            "not_done": lambda _: "part",
            "annealed": self._annealed,
            "cautions": lambda _: "cautions",
            "next_step": lambda _: "next_step",
            "by_station": lambda _: self._edit(by="station"),
            "by_zone": lambda _: self._edit(by="zone"),
            "plus": lambda _: self._use(lambda counts: counts.changed(1)),
            "minus": lambda _: self._use(lambda counts: counts.changed(-1)),
            "clear": lambda _: self._use(Counts.cleared),
            "as_shown": self._differently,
            "bite": lambda name: self._edit(bite=name),
            "action": lambda name: self._edit(action=name),
            "save": self._save,
            "cancel": self._cancel,
        }

    def tap(self, station: int) -> PassCardView:
        """A station of the strip was touched (from 0): while editing, it is what is changed."""
        return self.attempt(lambda _: self._edit(at=station, typed=""), "")

    def take_character(self, character: str) -> None:
        """A typed digit is the count, while counts are edited."""
        counts = self._editing()
        if counts is not None:
            self._counts = counts.with_digit(character)

    def enter(self) -> PassCardView:
        """Enter goes on to the next station or zone, while counts are edited."""
        return self.attempt(lambda _: self._use(Counts.next), "")

    def erase(self) -> PassCardView:
        """The last digit typed is rubbed out."""
        return self.attempt(lambda _: self._use(Counts.without_digit), "")

    def pacer(self, seconds: float) -> PacerView:
        """The marker so many seconds after the pacer was started."""
        return pacer.at(self._legs(), seconds)

    def view(self, go: str = "") -> PassCardView:
        """The pass to run now; a sentence instead when it is not known or none is left."""
        busy = self.busy()
        standing = self.session.standing
        header = Header(f"{self.where()}, {steps.pass_place(standing)}", back="part")
        planned = self._planned()
        if not standing.cautions_read:
            return self._blank(
                header, "Read the cautions first", Key("cautions", "Cautions", main=True), busy, go
            )
        if planned is None:
            text = "" if busy else "No pass is planned"
            return self._blank(header, text, Key("next_step", "See result", main=True), busy, go)
        if busy:
            return self._blank(header, "", Key("next_step", "See result", enabled=False), busy, go)
        counts = self._editing()
        return self._edited(header, counts, go) if counts else self._shown(header, planned, go)

    def _shown(self, header: Header, planned: core.Pass, go: str) -> PassCardView:
        legs = self._legs()
        return PassCardView(
            header=header,
            action=wording.ACTIONS[planned.action],
            arrows=wording.ARROWS[planned.action],
            facts=(
                *_facts(self.session.job, planned),
                *_time(planned, self._minutes_left()),
                Fact(
                    "Nearest to a limit",
                    wording.nearest_limit(self._use_of_limits(), self.session.job.part.sites.label),
                ),
                *_pacer_facts(legs),
            ),
            strip=strips.for_strokes(
                self.session.job,
                planned.action,
                planned.strokes,
                planned.feed,
                self._before(planned),
                self._use_of_limits().share,
            ),
            keys=_keys(planned),
            pacer_seconds=pacer.duration_s(legs),
            pacer_text=f"Pacer, {wording.seconds(pacer.working_s(legs))}" if legs else "",
            complaint=self.complaint,
            go=go,
        )

    def _edited(self, header: Header, counts: Counts, go: str) -> PassCardView:
        strip = strips.for_strokes(self.session.job, counts.action, counts.strokes, ())
        return PassCardView(
            header=header,
            action=wording.ACTIONS[counts.action],
            arrows=wording.ARROWS[counts.action],
            facts=(
                Fact("Bite", counts.bite),
                Fact("Strokes in all", str(sum(counts.strokes)), big=True),
            ),
            strip=replace(strip, brackets=brackets(counts.strokes), current=counts.at),
            keys=self._edit_keys(counts),
            editing=counts.by,
            edit_at=counts.span,
            edit_text=counts.text,
            complaint=self.complaint,
            go=go,
        )

    def _edit_keys(self, counts: Counts) -> tuple[Key, ...]:
        tool = self.session.job.tool
        any_stroke = any(counts.strokes)
        return (
            Key(
                "save",
                "Log this",
                main=True,
                enabled=any_stroke,
                why="" if any_stroke else "no strokes at all",
            ),
            Key("plus", "+ 1"),
            Key("minus", "− 1", enabled=counts.can_lower),
            Key("clear", "None here", enabled=counts.can_lower),
            Key("by_station", "By station", chosen=counts.by == "station"),
            Key("by_zone", "By zone", chosen=counts.by == "zone", enabled=bool(counts.zones)),
            *(Key(f"bite:{name}", f"{name} bite", chosen=name == counts.bite) for name in tool.bites),
            *(Key(f"action:{a}", text, chosen=a == counts.action) for a, text in wording.ACTIONS.items()),
            Key("as_shown", "As planned"),
            Key("cancel", "Back"),
        )

    def _blank(self, header: Header, text: str, key: Key, busy: str, go: str) -> PassCardView:
        facts = (Fact("Pass", text, big=True),) if text else ()
        return PassCardView(header, "", "", facts, None, (key,), busy=busy, complaint=self.complaint, go=go)

    def _planned(self) -> core.Pass | None:
        advice = self.session.advice
        return None if advice is None or self.session.standing.closed else advice.next_pass

    def _use_of_limits(self) -> core.LimitUse:
        assert self.session.advice is not None  # a pass is planned
        return self.session.advice.limit_use

    def _minutes_left(self) -> float:
        assert self.session.advice is not None  # a pass is planned
        return self.session.advice.minutes_left

    def _before(self, planned: core.Pass) -> tuple[int, ...]:
        """(n,) strokes of this pass as planned before the last reading; () when it was another pass."""
        advice = self.session.advice
        was = advice.before[0] if advice is not None and advice.before else None
        if was is None or (was.action, was.bite) != (planned.action, planned.bite):
            return ()
        return tuple(int(m) for m in was.strokes)

    def _legs(self) -> tuple[Leg, ...]:
        planned = self._planned()
        return pacer.timeline(self.session.job.part.sites, planned.feed) if planned else ()

    def _editing(self) -> Counts | None:
        """The counts being changed, unless they belong to another part or an earlier state of the log."""
        return self._counts if self._counts_of == self._place() else None

    def _place(self) -> tuple[str, int]:
        return self.session.part_id, len(self.session.events)

    def _wanted(self) -> core.Pass:
        planned = self._planned()
        if planned is None or self.session.stale or not self.session.standing.cautions_read:
            raise core.InputError("pass", None, "no pass can be logged before it is shown")
        return planned

    def _done(self, _: str) -> str:
        planned = self._wanted()
        return self._log(planned, planned.action, planned.bite, [int(m) for m in planned.strokes])

    def _annealed(self, _: str) -> None:
        self.session.log(core.annealed())

    def _save(self, _: str) -> str | None:
        counts = self._editing()
        if counts is None or not any(counts.strokes):
            raise core.InputError("strokes", None, "at least one stroke is wanted; else touch Not done")
        return self._log(self._wanted(), counts.action, counts.bite, list(counts.strokes))

    def _log(self, planned: core.Pass, action: str, bite: str, strokes: list[int]) -> str:
        """The pass as run, with what was expected of it, so that the list can show both later."""
        event = core.pass_done(action, strokes, bite=bite)
        as_shown = (action, bite) == (planned.action, planned.bite) and strokes == [
            int(m) for m in planned.strokes
        ]
        gap, sd = float(planned.expected_gap_mm), float(planned.expected_gap_sd_mm)
        how = "as shown" if as_shown else "differently"
        text = f"{steps.pass_text(self.session.standing.passes_done + 1, planned)}; done {how}"
        expected = {"as_shown": as_shown, "gap_mm": gap, "gap_sd_mm": sd}
        self.session.log(core.note(text, planned=expected))
        self.session.log(event)
        self._counts = None
        return "gaps"

    def _differently(self, _: str) -> None:
        planned = self._wanted()
        zones = tuple(sorted((z.first, z.last) for z in planned.feed if z.strokes))
        strokes = tuple(int(m) for m in planned.strokes)
        first = next((i for i, m in enumerate(strokes) if m), 0)
        self._counts = Counts(
            planned.action, planned.bite, strokes, zones, at=first, label=self.session.job.part.sites.label
        )
        self._counts_of = self._place()

    def _edit(self, **changes: Any) -> None:
        counts = self._editing()
        if counts is not None:
            self._counts = replace(counts, **changes)

    def _use(self, change: Callable[[Counts], Counts]) -> None:
        counts = self._editing()
        if counts is not None:
            self._counts = change(counts)

    def _cancel(self, _: str) -> None:
        self._counts = None


def _keys(planned: core.Pass) -> tuple[Key, ...]:
    """What may have been done; an anneal that is wanted comes first."""
    if planned.anneal_first:
        first = Key("annealed", "Annealed", main=True, why="log that the part was softened")
        return first, Key("differently", "Run without"), Key("not_done", "Not done")
    return (
        Key("done", "Done as shown", main=True),
        Key("differently", "Done differently"),
        Key("not_done", "Not done"),
    )


def _pacer_facts(legs: Sequence[Leg]) -> tuple[Fact, ...]:
    """What the pacer's time is made of: the zones, and what comes before and between them."""
    if not legs:
        return ()
    moving = pacer.duration_s(legs) - pacer.working_s(legs) - pacer.READY_S
    parts = [f"{pacer.READY_S:.0f} s to take hold", f"{wording.seconds(pacer.working_s(legs))} of strokes"]
    parts += [f"{wording.seconds(moving)} to move on between zones"] if moving > 0 else []
    return (Fact("Pacer", ", ".join(parts)),)


def _time(planned: core.Pass, left: float) -> tuple[Fact, ...]:
    """Minutes of this pass with its gaps and of the whole plan, where they are known."""
    if isnan(planned.minutes):
        return ()
    return (Fact("Time", f"about {wording.minutes(planned.minutes)}, plan {wording.minutes(left)}"),)


def _facts(job: core.Job, planned: core.Pass) -> tuple[Fact, ...]:
    together = "pressing together" if planned.action == "shrink" else "pulling apart"
    setting = job.tool.settings.get(planned.bite)
    return (
        *((Fact("First", "anneal the part", TODO),) if planned.anneal_first else ()),
        Fact("Strokes in all", str(planned.total), big=True),
        Fact("Bite", planned.bite),
        *((Fact("Ram setting", setting.text),) if setting else ()),
        Fact("Tool face", f"{job.tool.face}, {together}"),
        Fact("Stroke rate", f"{job.tool.strokes_per_minute:.0f} strokes/min"),
        Fact("Expected widest gap", wording.band(planned.expected_gap_mm, planned.expected_gap_sd_mm)),
        Fact("Chance of going too far", _too_far(planned)),
    )


def _too_far(planned: core.Pass) -> str:
    if isnan(planned.overshoot_risk):
        return "none to mind: the other action follows"
    return wording.chance(planned.overshoot_risk)
