"""The part: its drawing with the deviation magnified, and its passes, done and planned."""

from __future__ import annotations

from typing import Any

import core
from shopapp.presenters import (
    bow_facts,
    disc_facts,
    last_time,
    outlines,
    paper,
    pictures,
    record_facts,
    responses,
    rounds,
    sets,
    steps,
    trial_view,
    wording,
)
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.part_rows import rows
from shopapp.presenters.pieces import Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import PartView

ANOTHER = "one more part like this one, from what this one told"


class PartPresenter(Presenter[PartView]):
    """Keys: next, gaps, result, trial (before the first pass), start_from (a trial that is nearer than what
    the part has), undo, annealed, set, coil (another batch begins with it), finish, reopen and as_last_time
    (a signed part),
    record and template (where there is a folder for them), metal, cautions."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches = {
            "next": lambda _: steps.taken(self.session.log, steps.next_step(self.session.standing)),
            "gaps": lambda _: "gaps",
            "result": lambda _: "next_step",
            "trial": self._trial,
            "start_from": self._start_from,
            "metal": self._metal,
            "set": self._set,
            "as_last_time": self._as_last_time,
            "coil": self._coil,
            "undo": self._undo,
            "annealed": self._annealed,
            "reopen": lambda _: self.session.reopen(),
            "finish": lambda _: "finish",
            "record": lambda _: paper.ask_record(self.session),
            "template": lambda _: paper.ask_template(self.session),
            "cautions": lambda _: "cautions",
        }

    def view(self, go: str = "") -> PartView:
        """The part as it stands."""
        busy, session = self.busy(), self.session
        standing, advice = session.standing, session.advice
        known, told = steps.measured(advice), session.record_told
        more = () if standing.closed else (advice or session.job).warnings
        doubts = tuple(
            dict.fromkeys((*steps.round_doubts(standing), *more))
        )  # what was read last comes first
        return PartView(
            header=Header(f"{self.where()}, {steps.pass_place(standing)}", back="bench"),
            outline=outlines.with_deviation(session.job, None if known is None else known.deviation_mm),
            facts=(*facts(standing, session.events), *record_facts.facts(session)),
            rows=rows(standing),
            reasons=(
                *last_time.told(session),
                *(said for said in steps.reasons(standing) if said not in doubts),
            ),
            warnings=(
                *sets.noticed(session),
                *record_facts.broken(session),
                *responses.offered(session),
                *map(wording.capital, doubts),
            ),
            keys=self._keys(standing, busy),
            offer=next(map(_offer, responses.nearer(session)), ""),
            said="" if told is None else told.said,
            busy=busy,
            complaint=self.complaint or ("" if told is None else told.problem) or session.problem,
            go=go,
            picture=pictures.of_part(session.job),
        )

    def _keys(self, standing: steps.Standing, busy: str) -> tuple[Key, ...]:
        step, session = steps.next_step(standing), self.session
        last = rounds.last_entry(self.session.events)
        sites = self.session.job.part.sites
        undo = "nothing to take back" if last is None else f"takes back {wording.entry(last, sites)}"
        is_open = not standing.closed
        template, worked = paper.template_keys(session), standing.passes_done  # it is wanted before the first
        return (
            Key("next", step.key, main=True, enabled=not busy, why=step.text),
            *(Key("start_from", "Use the trial", why=s.source) for s in responses.nearer(session)[:1]),
            Key("gaps", "Read gaps", enabled=is_open),
            *(() if is_open else (Key("as_last_time", last_time.AS_LAST_TIME, why=ANOTHER),)),
            Key("result", "Result"),
            *(() if worked else template),
            *self._trial_keys(standing),
            Key("undo", "Undo", enabled=is_open and last is not None, why=undo),
            Key("annealed", "Annealed", enabled=is_open, why="log that the part was softened"),
            Key("set", "Set", why="parts alike, side by side; the next one"),
            *self._coil_keys(standing),
            Key("finish", "Finish check"),
            *(() if is_open else (Key("reopen", "Take up again", why="the signed result stands"),)),
            *(template if worked else ()),
            *paper.record_keys(session, busy),
            Key("metal", "Its metal", why="figures, annealing, what to watch for"),
            Key("cautions", "Cautions"),
        )

    def _trial_keys(self, standing: steps.Standing) -> tuple[Key, ...]:
        """Once the part itself was struck, it tells more than an offcut; of sheet there is none."""
        if standing.passes_done or standing.closed or not hasattr(standing.job.part, "offcut"):
            return ()
        return (Key("trial", "Trial strip", why=trial_view.WHY),)

    def _coil_keys(self, standing: steps.Standing) -> tuple[Key, ...]:
        """Where there is something that another coil makes void."""
        job = self.session.job
        begun = any(event["event"] == "batch_begun" for event in standing.live)
        knows = job.place is not None or job.response.seen or job.response.shared
        if begun or standing.closed or not knows:
            return ()
        why = "another coil, batch or tool from this part on: what parts before it told no longer counts"
        return (Key("coil", "New coil", why=why),)

    def _coil(self, _: str) -> None:
        self.session.log(core.batch_begun())

    def _set(self, _: str) -> str:
        """The set of this part, also where it is the only one yet."""
        place = self.session.job.place
        self.session.set_shown = (place and place.id) or self.session.part_id
        return "set"

    def _as_last_time(self, _: str) -> str:
        """The next part of its set, begun from what the parts so far told."""
        place = self.session.job.place
        found = sets.part_set(self.session, (place and place.id) or self.session.part_id)
        if found is None or not self.session.standing.closed:
            raise core.InputError("part", None, "a part that is signed off is wanted to go by")
        sets.begin(self.session, found, coil=False, wanted=found.members[-1].of or 0)
        return "part"

    def attempt(self, touch: Touch, rest: str) -> PartView:
        """As in the base; what was said of an earlier touch is gone."""
        self.session.record_told = None
        return super().attempt(touch, rest)

    def _trial(self, _: str) -> str:
        self.session.offcut_of = None
        return "trial"

    def _metal(self, _: str) -> str:
        self.session.metal_of = None
        return "metal"

    def _start_from(self, _: str) -> None:
        """The trial that is named beside the key goes into the log."""
        found = responses.nearer(self.session)
        if not found:
            raise core.InputError("trial", None, "no trial is nearer than what this part has")
        self.session.log(core.trial_taken(found[0]))

    def _undo(self, _: str) -> None:
        if self.session.undo() is None:
            raise core.InputError("undo", None, "there is nothing to take back")

    def _annealed(self, _: str) -> None:
        self.session.log(core.annealed())


def _offer(seen: core.Seen) -> str:
    return f"{wording.capital(seen.source)}: “Use the trial” starts from it."


def facts(standing: steps.Standing, events: tuple[dict[str, Any], ...]) -> tuple[Fact, ...]:
    """The numbers that count for a part."""
    job, advice = standing.job, standing.advice
    state, words = steps.state_of(standing)
    last = rounds.last_entry(events)
    found = [
        steps.widest_fact(advice, state),
        Fact("Verdict", words, state),
        Fact("Tolerance", wording.limit(job.tolerance_mm)),
        *_in_set(job),
        Fact("Last entry", "none" if last is None else wording.entry(last, job.part.sites)),
        *(Fact("Response starts from", source) for source in responses.sources(standing.job, standing.live)),
    ]
    disc = disc_facts.ring_kept(job)
    if not standing.passes_done:
        disc = (*disc_facts.blank(job), *disc_facts.circles(job))
    return (*found, *disc, *steps.time_left(standing), *_side_effects(job, advice))


def _in_set(job: core.Job) -> tuple[Fact, ...]:
    """Its place in its set, and whether it is worked boldly."""
    if job.place is None:
        return ()
    of = "" if job.place.of is None else f" of {job.place.of}"
    return (Fact("Set", f"part {job.place.part}{of}"),)


def _side_effects(job: core.Job, advice: core.Advice | None) -> list[Fact]:
    """Thickness that the metal comes to; bow and twist out of the plane of the curve by now."""
    if advice is None:
        return []
    found = [*disc_facts.thickness(job, advice.thickness_then_mm)]
    told = "" if advice.side_effects is None else bow_facts.short(advice.side_effects)
    return [*found, Fact("Out of plane by now, reckoned", told)] if told else found
