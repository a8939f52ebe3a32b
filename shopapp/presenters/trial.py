"""A trial on an offcut: what to strike, how to read it, what it says, and keeping that."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import core
from shopapp.presenters import responses, steps, trial_view
from shopapp.presenters.base import Presenter
from shopapp.presenters.cautions import trial_cautions_read
from shopapp.presenters.pieces import Header
from shopapp.presenters.session import Session
from shopapp.presenters.views import TrialView

LONGEST_ENTRY = 16
PLAN, GAUGE, READ, ANSWER = "plan", "gauge", "read", "answer"


@dataclass(frozen=True)
class Hand:
    """Where the trial of one job is. mode : PLAN, GAUGE (being chosen), READ or ANSWER; refused : Enter did
    not take the entry, and what is typed next begins anew; seen, known : what the rise said, once read;
    in_library : what of this trial was kept, until it is read and kept again"""

    job: core.Job | None = None
    action: str = ""
    bite: str = ""
    gauge: core.Gauge | None = None
    mode: str = PLAN
    entry: str = ""
    refused: bool = False
    seen: core.Seen | None = None
    known: core.Known | None = None
    in_library: core.Known | None = None

    @property
    def kept(self) -> bool:
        """Whether what the rise said is in the library."""
        return self.known is not None and self.in_library == self.known


class TrialPresenter(Presenter[TrialView]):
    """Keys: action:NAME, bite:NAME, gauge, choose:GAUGE, read, digit:C, erase, enter, keep, plan, back,
    cautions and misfit (while those stand before it)."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._hand = Hand()
        self._planned: tuple[Any, core.Trial | None, str] = (None, None, "")
        self.touches = {
            "action": self._to_action,
            "bite": lambda name: self._other(bite=name),
            "gauge": lambda _: self._set(mode=PLAN if self._in_hand().mode == GAUGE else GAUGE),
            "choose": lambda name: self._other(gauge=self._gauge(name)),
            "read": lambda _: self._set(mode=READ, entry="", refused=False),
            "digit": self._type,
            "erase": lambda _: self._set(entry=self._in_hand().entry[:-1], refused=False),
            "enter": self._enter,
            "keep": self._keep,
            "plan": self._to_plan,
            "back": lambda _: self._back(),
            **{screen: lambda _, to=screen: to for screen in ("cautions", steps.UNFIT.screen)},
        }

    def enter(self) -> TrialView:
        """Enter, from a keyboard or a gauge that types: take the rise."""
        return self.press("enter")

    def erase(self) -> TrialView:
        """Rub out the last character typed."""
        return self.press("erase")

    def take_character(self, character: str) -> None:
        """A typed character goes to the rise while that is asked for."""
        if self._in_hand().mode == READ:
            self._type(character)

    def view(self, go: str = "") -> TrialView:
        """The strip and what to do with it, the rise being typed, or what it said; before it what does not
        fit, and the cautions."""
        hand, (trial, problem) = self._in_hand(), self._plan()
        held = self._held(trial)
        if held is not None:
            facts, said, keys = held
            header = Header(f"Trial on an offcut, {self._job().name}", unit="", back=self._back())
            return TrialView(header, said, None, facts, keys, complaint=self.complaint, go=go)
        read, known = hand.mode == READ, hand.known if hand.mode == ANSWER else None
        return TrialView(
            header=Header(f"Trial on an offcut, {self._job().name}", back=self._back()),
            steps=() if trial is None else self._steps(trial, hand.mode),
            strip=None if trial is None else trial_view.strip(trial),
            facts=() if trial is None else trial_view.facts(trial, known),
            keys=self._keys(trial),
            pad=trial_view.pad_keys(hand.entry) if read else (),
            entry=hand.entry,
            question=self._question(),
            answer=self._answer(trial),
            doubt=self._doubt(trial),
            complaint=self.complaint or problem,
            go=go,
        )

    def _held(self, trial: core.Trial | None) -> trial_view.Held | None:
        """What stands before the strip, as it does before a pass; None once nothing does."""
        session, hand = self.session, self._in_hand()
        setting_up = session.offcut_of is not None
        if trial is not None and trial.misfits and (setting_up or not session.standing.run_all_the_same):
            on = "setup" if setting_up else steps.UNFIT.screen if steps.misfits(session.standing) else "part"
            return trial_view.unfit(trial, self._job(), hand.action, hand.bite, on)
        if trial is not None and not trial_cautions_read(session):
            return trial_view.unread_cautions()
        return None

    def _steps(self, trial: core.Trial, mode: str) -> tuple[str, ...]:
        if mode == READ:
            return trial_view.rise_expected(trial)
        return () if mode == ANSWER else trial_view.steps(trial)

    def _job(self) -> core.Job:
        """The job being set up, or the open part's."""
        return self.session.offcut_of or self.session.job

    def _back(self) -> str:
        return "part" if self.session.offcut_of is None else "setup"

    def _in_hand(self) -> Hand:
        """What is in hand for this job; for another one it begins anew, with what its first pass would be."""
        job = self._job()
        if self._hand.job is not job:
            action, bite = self._first_pass(job)
            self._hand = Hand(job, action, bite, job.gauge)
        return self._hand

    def _first_pass(self, job: core.Job) -> tuple[str, str]:
        """Action and bite of the pass that is planned; without a plan what the part mostly asks for."""
        fitted = self.session.trial_plan
        setting_up = self.session.offcut_of is not None
        advice = (fitted.advice if fitted else None) if setting_up else self.session.advice
        if advice is not None and advice.next_pass is not None:
            return advice.next_pass.action, advice.next_pass.bite
        action = steps.mostly(job)
        return action, job.tools[action].bite_like("medium", 1.0, job.bites(action))

    def _set(self, **changes: Any) -> None:
        self._hand = replace(self._in_hand(), **changes)

    def _other(self, **changes: Any) -> None:
        """Another strip: what was read of the one before is no longer in hand."""
        self._set(**changes, mode=PLAN, entry="", seen=None, known=None, in_library=None)

    def _to_action(self, action: str) -> None:
        hand = self._in_hand()
        now, then = (hand.job.tools[a] for a in (hand.action, action))
        self._other(
            action=action, bite=then.bite_like(hand.bite, now.bites[hand.bite], hand.job.bites(action))
        )

    def _to_plan(self, _: str) -> None:
        """Back to the strip while its rise is being read; once that is read, another strip."""
        if self._in_hand().mode == READ:
            self._set(mode=PLAN, entry="")
        else:
            self._other()

    def _gauge(self, name: str) -> core.Gauge:
        own = self._job().gauge
        return own if name == own.name else core.gauge_from(name)

    def _plan(self) -> tuple[core.Trial | None, str]:
        """The trial, or why there can be none; worked out once for each choice."""
        hand = self._in_hand()
        key = (hand.job, hand.action, hand.bite, hand.gauge)
        if self._planned[0] is None or any(a is not b for a, b in zip(self._planned[0], key, strict=True)):
            trial, problem = None, ""
            try:
                trial = core.trial_plan(self._job(), hand.action, hand.bite, gauge=hand.gauge)
            except core.InputError as error:
                problem = f"No trial: {error}"
            self._planned = (key, trial, problem)
        return self._planned[1], self._planned[2]

    def _keys(self, trial: core.Trial | None) -> Any:
        hand = self._in_hand()
        if hand.mode == GAUGE and hand.gauge is not None:
            return trial_view.gauge_keys(hand.gauge)
        if hand.mode == READ:
            return (trial_view.back_to_plan(),)
        if hand.mode == ANSWER:
            return trial_view.answer_keys(hand.kept, f"Back to the {self._place()}")
        return trial_view.plan_keys(self._job(), hand.action, hand.bite, trial is not None)

    def _place(self) -> str:
        return "part" if self.session.offcut_of is None else "set-up"

    def _question(self) -> str:
        return {GAUGE: "Which gauge will read the rise?", READ: "Rise at the middle, from mark to mark?"}.get(
            self._in_hand().mode, ""
        )

    def _answer(self, trial: core.Trial | None) -> tuple[str, ...]:
        hand = self._in_hand()
        if trial is None or hand.seen is None or hand.known is None or hand.mode != ANSWER:
            return ()
        said = trial_view.answer(trial, hand.seen, hand.known)
        return (said, self._what_keeping_does(hand.kept))

    def _doubt(self, trial: core.Trial | None) -> str:
        hand = self._in_hand()
        asked = trial is not None and hand.seen is not None and hand.mode == ANSWER
        return core.trial_doubt(trial, hand.seen) if asked else ""

    def _what_keeping_does(self, kept: bool) -> str:
        """A part that is begun already takes it up by a key of its own."""
        if not kept:
            return "Once it is kept, parts of this metal, tool and bite start from it."
        if self.session.offcut_of is not None:
            return "Kept. The plan says what this part starts from, and one key leaves that aside."
        return (
            "Kept. This part was begun without it: where it tells more than what the part has, “Use the "
            "trial” on the part takes it up."
        )

    def _type(self, character: str) -> None:
        entry = "" if self._in_hand().refused else self._in_hand().entry
        if len(entry) >= LONGEST_ENTRY or not character.isprintable():
            raise core.InputError("rise", entry + character, "a shorter number is wanted")
        self._set(entry=entry + character, refused=False)

    def _enter(self, _: str) -> None:
        """Take the rise that was typed."""
        hand, (trial, _problem) = self._in_hand(), self._plan()
        if hand.mode != READ or trial is None or hand.gauge is None:
            raise core.InputError("rise", None, "first touch “Read the rise”")
        self._set(refused=True)
        self.read(trial, core.parse_reading_mm(hand.entry, "rise"), hand.gauge)

    def read(self, trial: core.Trial, rise_mm: float, gauge: core.Gauge) -> None:
        """A rise was read. Raises InputError for one that these strokes cannot have left."""
        seen = core.trial_read(trial, rise_mm, gauge)
        known = core.known_from_seen(seen, self._job(), self.session.now().date())
        self._set(mode=ANSWER, seen=seen, known=known)

    def read_by_itself(self, rise_of: Callable[[core.Trial], tuple[float, core.Gauge]]) -> TrialView:
        """In a demo the offcut answers. rise_of : gives the rise in mm as read, and the gauge it took"""

        def take(_: str) -> None:
            trial, _problem = self._plan()
            if trial is None:
                raise core.InputError("rise", None, "no strip can be planned")
            self.read(trial, *rise_of(trial))

        return self.attempt(take, "")

    def _keep(self, _: str) -> None:
        """Into the library, once: read again, a trial takes the place of what was kept of it."""
        hand = self._in_hand()
        if hand.known is None or hand.kept:
            raise core.InputError("trial", None, "nothing is there to be kept")
        responses.keep(self.session, [hand.known], hand.in_library)
        self._set(in_library=hand.known)
