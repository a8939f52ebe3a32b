"""After the readings: how wide, is it good, what was learned, what comes next."""

from __future__ import annotations

from math import nan
from typing import Any

import numpy as np

import core
from shopapp.presenters import (
    bow_facts,
    doing,
    lobe_views,
    meridians,
    rereading,
    reseating,
    rounds,
    stayed,
    steps,
    strips,
    verdicts,
    wording,
)
from shopapp.presenters.base import Presenter
from shopapp.presenters.pieces import TODO, Fact, Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.views import NextView


class NextPresenter(Presenter[NextView]):
    """Keys: next, again:STATION or again:STATION@DEGREES (from 0), seated, gaps, bow, undo (of what the bow
    screen logged, and of right), right (all of a round in doubt), part, finish."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.touches = {
            "next": self._next,
            "again": self._again,
            "seated": self._seated,
            "gaps": lambda _: "gaps",
            "bow": lambda _: "bow",
            "right": self._right,
            "undo": self._undo,
            "part": lambda _: "part",
            "finish": lambda _: "finish",
        }

    def view(self, go: str = "") -> NextView:
        """What the gaps say."""
        busy, session = self.busy(), self.session
        standing, advice = session.standing, session.advice
        header = Header(f"{self.where()}, {_when(standing)}", back="part")
        complaint = self.complaint or session.problem
        if advice is None or busy:
            step = steps.after_reading(standing)
            wait = Key("next", "Wait", main=True, enabled=False, why=busy)
            first = wait if busy else Key(step.screen, step.key, main=True, why=step.text)
            part = () if first.name == "part" else (Key("part", "Part"),)
            keys = (first, *self._undo_keys(), *part)
            return _unknown(header, keys, self._last_text(), busy, complaint, go)
        words, state = verdicts.of(advice)
        doubts = tuple(map(wording.capital, advice.doubts)) if not standing.closed else ()
        return NextView(
            header=header,
            verdict=words,
            state=state,
            facts=(*facts(session.job, advice), *lobe_views.facts(advice)),
            strip=strips.for_deviation(session.job, advice.deviation_mm, advice.deviation_sd_mm),
            stayed=stayed.last(session.job, advice),
            response=responses(standing, advice),
            reseat=reseating.view(session.job, advice.reseat),
            suspects=_suspects(session.job, advice),
            doubts=doubts,
            reasons=tuple(said for said in steps.said(standing) if said not in doubts),
            next_pass=_next_text(standing, advice, self._step()),
            expected=_expected(advice),
            beside="" if advice.next_pass is None else core.beside(advice.next_pass),
            keys=self._keys(standing, advice),
            bow=bow_facts.facts(standing),
            last=self._last_text(),
            tool_set=_tool_set(standing, advice),
            rim=lobe_views.rim(session.job, advice, steps.rounding(advice)),
            complaint=complaint,
            go=go,
        )

    def _step(self) -> steps.Step:
        standing = self.session.standing
        if standing.closed or rounds.unread_pass(standing.live):
            return steps.next_step(standing)
        return steps.after_reading(standing)

    def _keys(self, standing: steps.Standing, advice: core.Advice) -> tuple[Key, ...]:
        step, is_open = self._step(), not standing.closed
        seated = (Key("seated", "Seated again", enabled=is_open),) if advice.reseat else ()
        return (
            Key("next", step.key, main=True, why=step.text),
            *seated,
            *self._right_keys(),
            Key("gaps", "Read gaps", enabled=is_open),
            *self._bow_keys(standing, advice),
            *self._undo_keys(),
            Key("part", "Part"),
            Key("finish", "Finish check"),
        )

    def _bow_keys(self, standing: steps.Standing, advice: core.Advice) -> tuple[Key, ...]:
        """To the bow; none for a section that does not bow."""
        if not bow_facts.bows(standing.job, advice):
            return ()
        return (Key("bow", "Bow", enabled=not standing.closed, why="log the bow out of the plane"),)

    def _confirming(self) -> dict[str, Any] | None:
        """What confirms the round that is in doubt as a whole, None where none is."""
        session = self.session
        doubts = session.advice is not None and session.advice.doubts and not session.standing.closed
        return rereading.confirming(session.events, session.live) if doubts else None

    def _right_keys(self) -> tuple[Key, ...]:
        if self._confirming() is None:
            return ()
        return (Key("right", "These are right", why="all of the round counts as it was read"),)

    def _right(self, _: str) -> None:
        event = self._confirming()
        if event is None:
            raise core.InputError("gaps", None, "there is no round to be confirmed")
        self.session.log(event)

    def _undo_keys(self) -> tuple[Key, ...]:
        last = self._last_text()
        return (Key("undo", "Undo", why=f"takes back {last}"),) if last else ()

    def _last_here(self) -> dict[str, Any] | None:
        """The bow, the counter-work or the confirmed round that is the last entry, else None."""
        last = rounds.last_entry(self.session.events)
        if last is None or self.session.standing.closed:
            return None
        here = last["event"] in ("bow_read", "counter_done") or rereading.confirms_round(last)
        return last if here else None

    def _last_text(self) -> str:
        last = self._last_here()
        if last is None:
            return ""
        if last["event"] != "bow_read":
            return wording.entry(last)
        return f"bow {bow_facts.read(self.session.job, last['bow_mm'])}"

    def _undo(self, _: str) -> None:
        if self._last_here() is None:
            raise core.InputError("undo", None, "nothing of this screen is there to be taken back")
        self.session.undo()

    def _next(self, _: str) -> str:
        advice = self.session.advice
        if advice is None or self.session.stale:
            raise core.InputError("next", None, "wait until the next pass is worked out")
        step, session = self._step(), self.session
        if step.screen == "gaps" and advice.suspects:
            first = advice.suspects[0]
            session.focus_station, session.focus_deg = first.station, first.at_deg
        elif step.screen == "gaps" and meridians.has(session.job):
            wanted = meridians.still_wanted(session.standing)
            if wanted or advice.verdict == "within":
                session.focus_deg = next(iter(wanted), session.meridian_deg or 0.0)
        return steps.taken(session.log, step)

    def _again(self, what: str) -> str:
        station, _, at_deg = what.partition("@")
        self.session.focus_station = int(station)
        self.session.focus_deg = float(at_deg) if at_deg else None
        return "gaps"

    def _seated(self, _: str) -> str:
        """The template was seated again: a new round of gaps starts."""
        self.session.log(core.template_seated())
        return "gaps"


def _unknown(
    header: Header, keys: tuple[Key, ...], last: str, busy: str, complaint: str, go: str
) -> NextView:
    """What is shown while nothing is worked out."""
    return NextView(
        header=header,
        verdict="",
        state=TODO,
        facts=(),
        strip=None,
        stayed=(),
        response=(),
        reseat=None,
        suspects=(),
        reasons=(),
        next_pass="",
        expected="",
        keys=keys,
        last=last,
        busy=busy,
        complaint=complaint,
        go=go,
    )


def facts(job: core.Job, advice: core.Advice) -> tuple[Fact, ...]:
    """Widest gap with its band and place, tolerance, chance."""
    if advice.verdict == "not measured":
        return (steps.widest_fact(advice, TODO),)
    place = f"{job.part.sites.label} {advice.widest_at + 1}"
    state = verdicts.of(advice)[1]
    return (
        steps.widest_fact(advice, state),
        Fact("Where", place),
        Fact("Tolerance", wording.limit(job.tolerance_mm)),
        Fact("Chance of being within", verdicts.chance(nan if advice.suspects else advice.chance_within)),
    )


def responses(standing: steps.Standing, advice: core.Advice) -> tuple[str, ...]:
    """What this metal answers, against what was expected of it; "not known yet" while it is not."""
    known = [r for r in advice.response.values() if r.known]
    if not known:
        return ("What this metal gives a stroke: not known yet",)
    return tuple(_response(standing, r) for r in known)


def _response(standing: steps.Standing, response: core.Response) -> str:
    band = round(100 * response.ratio_band)
    given = "as much" if response.as_expected else wording.share(response.ratio)
    than = "as expected" if given == "as much" else "than expected"
    sites, action = standing.job.part.sites, response.action
    run = [event["strokes"] for event in rounds.passes(standing.live) if event["action"] == action]
    does = doing.done_by(sites, action, np.sum(run, axis=0).tolist() if run else None)
    return (
        f"{does}, {response.bite} bite: this metal gives {given} {than} of "
        f"{wording.on_a_spot(response.strokes)} (± {band} %)"
    )


def _suspects(job: core.Job, advice: core.Advice) -> tuple[Key, ...]:
    label = job.part.sites.label.capitalize()
    return tuple(
        Key(
            f"again:{s.station}" if s.at_deg is None else f"again:{s.station}@{s.at_deg:g}",
            f"{label} {s.station + 1}{wording.on_meridian(s.at_deg)} again",
        )
        for s in advice.suspects
    )


def _when(standing: steps.Standing) -> str:
    done = standing.passes_done
    return f"after pass {done}" if done else "before the first pass"


def _next_text(standing: steps.Standing, advice: core.Advice, first: steps.Step) -> str:
    """What comes next; what the main key does before it, where that is no work on the part, comes first."""
    planned = steps.if_it_fits(standing, _next_pass(standing, advice))
    if first.screen != "gaps" or rounds.unread_pass(standing.live) or standing.closed:
        return planned
    is_work = advice.next_pass is not None or steps.rounding(advice) is not None
    return f"{first.text}; then, unless it is within: {planned}" if is_work else first.text


def _next_pass(standing: steps.Standing, advice: core.Advice) -> str:
    if advice.smooth_now is not None and not standing.closed:
        return steps.smoothing_text(advice.smooth_now)
    step = steps.rounding(advice)
    if advice.next_pass is None and step is not None and not standing.closed:
        return lobe_views.text(step)
    if advice.next_pass is None or standing.closed:
        return "No further pass is planned"
    first = "" if step is None else f"{lobe_views.text(step)}; then "
    return first + steps.pass_text(standing.job.part.sites, standing.passes_done + 1, advice.next_pass)


def _expected(advice: core.Advice) -> str:
    planned, step = advice.next_pass, steps.rounding(advice)
    if planned is None:
        return "" if step is None else f"takes {lobe_views.takes(step)} off the lobes"
    ahead = len(advice.remaining) - 1
    more = f", then {wording.count(ahead, 'pass')} more" if ahead else ""
    return f"widest gap after it {lobe_views.expected(planned, step)}{more}"


def _tool_set(standing: steps.Standing, advice: core.Advice) -> str:
    """What the work that is named as the next is done with."""
    job, next_up = standing.job, advice.next_pass or steps.rounding(advice)
    if standing.closed or (next_up is None and advice.smooth_now is None):
        return ""
    return wording.tool_set(job.tools[job.smoother if next_up is None else next_up.action])
