"""The pass card: only the next pass, or the smoothing: what to set, where to strike, what was really done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import core
from shopapp.presenters import card_keys, card_work, doing, limit_runs, pacer, rounds, steps, wording
from shopapp.presenters.base import Presenter
from shopapp.presenters.card_work import CardWork
from shopapp.presenters.counts import Counts, brackets
from shopapp.presenters.pacer import Leg
from shopapp.presenters.pieces import Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import PacerView, PassCardView


class PassCardPresenter(Presenter[PassCardView]):
    """Keys: done, differently, not_done, annealed, other_first (pass or step against lobes), pacer; while
    editing: by_station, by_zone, plus, minus, clear, as_shown, bite:NAME, action:NAME, save, cancel."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._counts: Counts | None = None
        self._counts_of = ("", 0)
        self._pass_first_at = ("", -1)
        self._looked_at: tuple[str, int, int] | None = None
        self.touches = {
            "done": self._done,
            "differently": self._differently,
            "not_done": lambda _: "part",
            "annealed": self._annealed,
            "other_first": self._swap,
            "cautions": lambda _: "cautions",
            steps.UNFIT.screen: lambda _: steps.UNFIT.screen,
            "next_step": lambda _: "next_step",
            "gaps": lambda _: "gaps",
            "by_station": lambda _: self._edit(by="station"),
            "by_zone": lambda _: self._edit(by="zone"),
            "plus": lambda _: self._use(lambda counts: counts.changed(1)),
            "minus": lambda _: self._use(lambda counts: counts.changed(-1)),
            "clear": lambda _: self._use(Counts.cleared),
            "as_shown": self._differently,
            "bite": lambda name: self._edit(bite=name),
            "action": self._to_action,
            "save": self._save,
            "cancel": self._cancel,
        }

    def tap(self, station: int) -> PassCardView:
        """A station of the strip was touched (from 0): while editing, it is what is changed; else its limit
        is told in full, until it is touched again."""
        return self.attempt(lambda _: self._look_at(station), "")

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
        work = self._work()
        if steps.misfits(standing):
            key = Key(steps.UNFIT.screen, steps.UNFIT.key, main=True)
            return self._blank(header, "The part does not fit tool or machine", key, busy, go)
        if not standing.cautions_read:
            return self._blank(
                header, "Read the cautions first", Key("cautions", "Cautions", main=True), busy, go
            )
        if work is None:
            if rounds.unread_pass(standing.live) and not busy:
                return self._blank(header, "Read the gaps first", Key("gaps", "Read gaps", main=True), "", go)
            text = "" if busy else "No pass is planned"
            return self._blank(header, text, Key("next_step", "See result", main=True), busy, go)
        if busy:
            return self._blank(header, "", Key("next_step", "See result", enabled=False), busy, go)
        counts = self._editing()
        return self._edited(header, work, counts, go) if counts else self._shown(header, work, go)

    def _work(self) -> CardWork | None:
        """What the card is for: the next pass, or the step against lobes where that goes first."""
        return card_work.work_now(self.session.standing, self._pass_first_at == self._place())

    def _swap(self, _: str) -> None:
        here = self._place()
        self._pass_first_at = ("", -1) if self._pass_first_at == here else here

    def _look_at(self, station: int) -> None:
        if self._editing() is not None:
            self._edit(at=station, typed="")
            return
        looked_at = (*self._place(), station)
        self._looked_at = None if self._looked_at == looked_at else looked_at

    def _looked(self, work: CardWork) -> int | None:
        """The station whose limit is looked at."""
        if self._looked_at is None or work.use is None or self._looked_at[:2] != self._place():
            return None
        return self._looked_at[2]

    def _shown(self, header: Header, work: CardWork, go: str) -> PassCardView:
        legs, at, label = self._legs(), self._looked(work), self.session.job.part.sites.label
        told = () if at is None or work.use is None else (limit_runs.in_full(work.use, at, label),)
        return PassCardView(
            header=header,
            action=work.word(self.session.job.part.sites, work.action, work.strokes),
            arrows=work.strip.arrows,
            facts=(*told, *work.facts),
            bite=work.bite,
            setting=work.setting,
            strip=replace(work.strip, current=at) if work.outline is None else None,
            outline=work.outline,
            plan=work.plan(self.session.job),
            keys=(*card_keys.keys(work), *self._swap_keys(work)),
            edit_text="" if at is None or work.use is None else limit_runs.at(work.use, at, label),
            pacer_seconds=pacer.duration_s(legs),
            pacer_text=f"Pacer, {wording.seconds(pacer.working_s(legs))}" if legs else "",
            complaint=self.complaint,
            go=go,
        )

    def _swap_keys(self, work: CardWork) -> tuple[Key, ...]:
        """Where a pass and a step against lobes are both advised, either may go first."""
        advice = self.session.advice
        if advice is None or advice.next_pass is None or steps.rounding(advice) is None:
            return ()
        return (Key("other_first", "Rounding first" if work.step is None else "Pass first"),)

    def _edited(self, header: Header, work: CardWork, counts: Counts, go: str) -> PassCardView:
        job, use = self.session.job, card_work.used_by(self.session.advice, work, counts)
        strip, label = card_work.edited(job, work, counts, use), job.part.sites.label
        told = () if use is None else (limit_runs.nearest(use, label),)
        return PassCardView(
            header=header,
            action=work.word(job.part.sites, counts.action, counts.strokes),
            arrows=strip.arrows,
            facts=(
                Fact("Strokes in all", str(card_work.in_all(job, work, counts)), big=True),
                *told,
            ),
            bite=counts.bite,
            setting=card_work.setting(job.tools[counts.action or job.smoother], counts.bite),
            strip=replace(strip, brackets=brackets(counts.strokes), current=counts.at),
            keys=self._edit_keys(work, counts, limit_runs.beyond(use, label)),
            editing=counts.by,
            edit_at=counts.span,
            edit_text=card_keys.edit_text(counts, use, label),
            complaint=self.complaint,
            go=go,
        )

    def _edit_keys(self, work: CardWork, counts: Counts, beyond: str) -> tuple[Key, ...]:
        """beyond : where the counts go beyond a limit; they are logged all the same, if they were run."""
        job = self.session.job
        tool = job.tools[counts.action or job.smoother]
        any_stroke = any(counts.strokes)
        return (
            Key(
                "save",
                "Log this",
                main=True,
                enabled=any_stroke,
                why=beyond if any_stroke else "no strokes at all",
            ),
            Key("plus", "+ 1"),
            Key("minus", "− 1", enabled=counts.can_lower),
            Key("clear", "None here", enabled=counts.can_lower),
            *(() if work.step else card_keys.by_keys(counts)),
            *(card_keys.bite_key(name, counts.bite) for name in tool.bites),
            *(
                Key(f"action:{a}", doing.done_by(job.part.sites, a), chosen=a == counts.action)
                for a in wording.ACTIONS
                if counts.action and work.step is None
            ),
            Key("as_shown", "As planned"),
            Key("cancel", "Back"),
        )

    def _blank(self, header: Header, text: str, key: Key, busy: str, go: str) -> PassCardView:
        facts = (Fact("Pass", text, big=True),) if text else ()
        return PassCardView(header, "", "", facts, None, (key,), busy=busy, complaint=self.complaint, go=go)

    def _legs(self) -> tuple[Leg, ...]:
        work = self._work()
        return pacer.timeline(self.session.job.part.sites, work.feed) if work else ()

    def _editing(self) -> Counts | None:
        """The counts being changed, unless they belong to another part or an earlier state of the log."""
        return self._counts if self._counts_of == self._place() else None

    def _place(self) -> tuple[str, int]:
        return self.session.part_id, len(self.session.events)

    def _wanted(self) -> CardWork:
        work = self._work()
        if work is None or self.session.stale or steps.pass_screen(self.session.standing) != "pass_card":
            raise core.InputError("pass", None, "no pass can be logged before it is shown")
        return work

    def _done(self, _: str) -> str:
        work = self._wanted()
        return self._log(work, work.action, work.bite, work.strokes)

    def _annealed(self, _: str) -> None:
        self.session.log(core.annealed())

    def _save(self, _: str) -> str | None:
        counts = self._editing()
        if counts is None or not any(counts.strokes):
            raise core.InputError("strokes", None, "at least one stroke is wanted; else touch Not done")
        return self._log(self._wanted(), counts.action, counts.bite, counts.strokes)

    def _log(self, work: CardWork, action: str, bite: str, strokes: Sequence[int]) -> str:
        """The strokes as run, with what was expected of them, so that the list can show both later. After a
        step against lobes the pass that goes along with it comes before the gaps."""
        advice = self.session.advice
        goes_along = work.step is not None and advice is not None and advice.next_pass is not None
        as_shown = (action, bite, tuple(strokes)) == (work.action, work.bite, work.strokes)
        event = work.event(action, bite, strokes)
        text = f"{work.text}; done {'as shown' if as_shown else 'differently'}"
        self.session.log(core.note(text, planned={"as_shown": as_shown, **work.expected}))
        self.session.log(event)
        self._counts = None
        return "pass_card" if goes_along else "gaps"

    def _differently(self, _: str) -> None:
        work = self._wanted()
        zones = tuple(sorted((z.first, z.last) for z in work.feed if z.strokes))
        first = next((i for i, m in enumerate(work.strokes) if m), 0)
        label, by = self.session.job.part.sites.label, "station"
        if work.step is not None:  # every arc gets the same
            zones, label, by = ((0, work.step.lobes - 1),), "arc", "zone"
        self._counts = Counts(work.action, work.bite, work.strokes, zones, by, first, label)
        self._counts_of = self._place()

    def _edit(self, **changes: Any) -> None:
        counts = self._editing()
        if counts is not None:
            self._counts = replace(counts, **changes)

    def _to_action(self, action: str) -> None:
        """To the bite of its tool that is about as strong, where that has none of the same name."""
        counts = self._editing()
        if counts is not None:
            now, then = (self.session.job.tools[a] for a in (counts.action, action))
            self._edit(action=action, bite=then.bite_like(counts.bite, now.bites[counts.bite]))

    def _use(self, change: Callable[[Counts], Counts]) -> None:
        counts = self._editing()
        if counts is not None:
            self._counts = change(counts)

    def _cancel(self, _: str) -> None:
        self._counts = None
