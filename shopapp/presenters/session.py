"""The open shop and the open part: its log, what the core advises about it, undo.

Every entry is on disk before :meth:`Session.log` returns. Working out the advice of a big part takes
longer than a touch may wait: then :attr:`Session.stale` stays True, and the screen runs
``work = session.begin()``, ``done = work.run()`` in a thread and ``session.finish(done)`` back on its own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from time import perf_counter
from typing import Any

import core
from shopapp.dropped import Folders
from shopapp.presenters import mistakes, rounds
from shopapp.presenters.live_log import LiveLog
from shopapp.presenters.record_work import Draw, Keep, KeepSet, Paper, Written
from shopapp.presenters.steps import Standing
from shopapp.presenters.summary import summary_of

Event = dict[str, Any]
WAIT_S = 0.3
"""longest time that a touch may wait for an answer"""
BESIDE = ("note", "check_read", "signed_off", "reopened")
"""entries that the advice does not go by, but for a note that the part is run although it does not fit"""


@dataclass(frozen=True)
class Fitted:
    """Advice for the first ``count`` events of a part; problem : why there is none; seconds : it took"""

    part_id: str
    job: core.Job
    count: int
    advice: core.Advice | None
    problem: str
    seconds: float


@dataclass(frozen=True)
class Work:
    """A refit to be run, in any thread: it holds copies and changes nothing."""

    part_id: str
    job: core.Job
    events: tuple[Event, ...]

    def run(self) -> Fitted:
        """Work the advice out. An unusable log is an answer too: it comes back as ``problem``."""
        started = perf_counter()
        advice, problem = None, ""
        try:
            advice = core.refit(self.job, self.events)
        except core.InputError as error:
            problem = mistakes.in_log(error)
        seconds = perf_counter() - started
        return Fitted(self.part_id, self.job, len(self.events), advice, problem, seconds)


class Session:
    """One operator at one shop.

    shop : core.Shop; now : gives the time, with its offset; who : whose entries these are.
    focus_station : station (from 0) that the Gaps screen should ask for first, or None; focus_deg : on which
    meridian; meridian_deg : that the template lies on, for a part that is read on them;
    like : job document that the next set-up starts from, or None;
    offcut_of : job being set up that a trial on an offcut is for; None: the open part's; understood : metal
    that the cautions were understood for in the set-up, "" for none;
    metal_in_hand : whose figures are looked at, as a job document has it; metal_kept : name of the one that
    the shop has just kept and the set-up is to take, "" for none; metal_back : screen that own figures lead
    back to; thing_in_hand : name of the own gauge, tool set or machine that is changed, "" for a new one;
    check_made : line for the checks of the set-up, "" for none.
    counter_shown : counter-work was on show since the bow was last read.
    set_shown : id of the set that is looked at, "" for the list of all.
    metal_of : job being set up whose metal is shown; None: the open part's.
    folders : that files are dropped into; line_taken : the line out of one that the set-up is to take, as a
    job document has it in its line_part, or None.
    keep_record, draw_template, keep_set : write a part's record, its template, a set's summary; None where
    there is no folder; record_told : how far that is.
    """

    def __init__(self, shop: core.Shop, now: Callable[[], datetime], who: str = "") -> None:
        self.shop = shop
        self.now = now
        self.who = who
        self.focus_station: int | None = None
        self.focus_deg: float | None = None
        self.meridian_deg: float | None = None
        self.like: dict[str, Any] | None = None
        self.offcut_of: core.Job | None = None
        self.metal_in_hand: Any = None
        self.understood = ""
        self.metal_kept, self.metal_back = "", "metal"
        self.thing_in_hand = self.check_made = ""
        self.counter_shown = False
        self.metal_of: core.Job | None = None
        self.folders = Folders()
        self.line_taken: dict[str, Any] | None = None
        self.line_part = "line"
        self.set_shown = ""
        self.part_id = ""
        self.keep_record: Keep | None = None
        self.draw_template: Draw | None = None
        self.keep_set: KeepSet | None = None
        self.record_told: Written | None = None
        self._paper: Paper | None = None
        self._file: core.PartFile | None = None
        self._seals: core.Seals | None = None
        self._job: core.Job | None = None
        self._log = LiveLog()
        self._fitted: Fitted | None = None
        self._expected: tuple[core.Advice | None, dict[float, tuple[Any, Any]]] = (None, {})
        self._summary: dict[str, Any] = {}
        self._trial: core.Job | None = None
        self._trial_plan: Fitted | None = None

    def open(self, part_id: str) -> None:
        """Open a part. Raises core.StoreError or core.InputError, and then the old part stays open."""
        file = self.shop.open(part_id)
        job, log = core.job(file.job_document), LiveLog(file.events)
        self._file, self._job, self.part_id = file, job, part_id
        self._seals = file.seals
        self._fitted, self.focus_station, self.offcut_of = None, None, None
        self.focus_deg = self.meridian_deg = None
        self._summary, self.counter_shown = {}, False
        self.record_told = None
        self._log = log

    @property
    def job(self) -> core.Job:
        """The job of the open part. Raises LookupError when none is open."""
        if self._job is None:
            raise LookupError("no part is open")
        return self._job

    @property
    def events(self) -> tuple[Event, ...]:
        """The raw log of the open part."""
        return self._log.events

    @property
    def live(self) -> list[Event]:
        """The log as it counts: undone entries gone, single readings in rounds."""
        return self._log.live

    @property
    def round_start(self) -> int:
        """How many raw entries come before the first reading of the open round."""
        return self._log.round_start

    @property
    def standing(self) -> Standing:
        """The part as it stands, for all who have to decide what comes next."""
        return Standing(self.job, self._log.live, self.advice, self.sign_off, bool(self.problem))

    @property
    def sign_off(self) -> core.SignOff | None:
        """The last sign-off of the open part with what came later; None while there is none."""
        return core.sign_off(self._log.events)

    @property
    def seals(self) -> core.Seals | None:
        """What the seals said of the part when it was opened; None when none is open."""
        return self._seals

    def reopen(self) -> None:
        """Take a signed part up again: what is logged from now on stands beside the sign-off."""
        if self.standing.closed:
            self._append(core.reopened())

    def log(self, event: Event) -> Event:
        """Append an entry; on disk when this returns. Raises core.StoreError, then nothing was taken."""
        if self.standing.closed:
            wanted = "it is signed off; take it up again first, and what follows stands beside the sign-off"
            raise core.InputError("part", self.job.name, wanted)
        return self._append(event)

    def _append(self, event: Event) -> Event:
        if self._file is None:
            raise LookupError("no part is open")
        written = self._file.append(event, who=self.who, at=self.now())
        self._log.add(written)
        self.counter_shown = self.counter_shown and written["event"] != "bow_read"
        if not self.stale:
            self._keep_summary()
        return written

    def undo(self) -> Event | None:
        """Withdraw the last entry that counts and give it back; None when there is nothing to undo."""
        event = rounds.last_entry(self._log.events)
        if event is not None:
            self.log(core.withdrawn(event["id"]))
        return event

    @property
    def advice(self) -> core.Advice | None:
        """The newest advice there is; older than the log while :attr:`stale`; None at first."""
        return self._fitted.advice if self._fitted else None

    @property
    def round_advice(self) -> core.Advice | None:
        """The newest advice that knows of the last pass, anneal and seating of the template, else None.

        It may not know of the last few readings: good enough to say what the next one should be.
        """
        known = self._fitted is not None and self._fitted.count >= self.round_start
        return self.advice if known else None

    def expected_on(self, at_deg: float) -> tuple[Any, Any]:
        """(n,) readings that the advice expects on a meridian, and (n,) their sd, mm, worked out once for
        each. Raises LookupError while there is no advice."""
        if self.advice is None:
            raise LookupError("there is no advice yet")
        of, known = self._expected
        if of is not self.advice:
            of, known = self._expected = (self.advice, {})
        if at_deg not in known:
            known[at_deg] = core.expected_on(self.job, self.advice, at_deg)
        return known[at_deg]

    @property
    def problem(self) -> str:
        """Why the log cannot be worked out, or ""."""
        return self._fitted.problem if self._fitted else ""

    @property
    def stale(self) -> bool:
        """True while entries are in the log that the advice does not know of."""
        if self._job is None:
            return False
        if self._fitted is None:
            return True
        later = self._log.events[self._fitted.count :]
        return any(event["event"] not in BESIDE or "misfit" in event for event in later)

    @property
    def waiting(self) -> bool:
        """True while there is something for the screen's thread to do: this part, a record, a trial plan."""
        return self.stale or self._paper is not None or (self._trial is not None and self._trial_plan is None)

    def try_out(self, job: core.Job | None) -> None:
        """Ask for the plan of a job that is not started yet; None: no longer wanted."""
        if job is None or self._trial is None or job.document != self._trial.document:
            self._trial, self._trial_plan = job, None

    @property
    def trial_plan(self) -> Fitted | None:
        """The plan asked for by :meth:`try_out`; None while it is being worked out."""
        return self._trial_plan

    def ask_paper(self, work: Paper, said: str) -> None:
        """Ask for what is written or drawn of the open part; said : meanwhile."""
        self._paper, self.record_told = work, Written(self.part_id, said)

    def begin(self) -> Work | Paper:
        """A refit of the log as it is now, or what else is waited for, to be run in a thread."""
        if not self.stale and self._paper is not None:
            return self._paper
        if not self.stale and self._trial is not None:
            return Work("", self._trial, ())
        return Work(self.part_id, self.job, self._log.events)

    def finish(self, done: Fitted | Written) -> None:
        """Take the answer of a work's run, unless another part was opened or a newer one came first."""
        if isinstance(done, Written):
            self._paper = None
            if done.part_id == self.part_id:
                self.record_told = done
            return
        if done.job is self._trial:
            self._trial_plan = done
            return
        newest = self._fitted.count if self._fitted else -1
        if done.part_id != self.part_id or not newest < done.count <= len(self._log.events):
            return
        self._fitted = done
        if done.advice is not None and done.advice.counter is not None:
            self.counter_shown = True
        if not self.stale:
            self._keep_summary()

    def settle(self) -> None:
        """Bring the advice up to date at once if it was quick last time; else the screen's thread does."""
        if self.stale and self._fitted is not None and self._fitted.seconds <= WAIT_S:
            self.finish(self.begin().run())

    def _keep_summary(self) -> None:
        """Tell the shop's index what the bench should show, when that changed."""
        summary = summary_of(self.standing, self._log.events)
        if self._file is None or summary == self._summary:
            return
        try:
            self._file.set_summary(summary)
        except core.StoreError:
            # The log is safe; a card that is out of date is told again at the next change.
            return
        self._summary = summary
