"""What is to be done next with a part: one answer for all screens."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import isnan
from typing import Any

import core
from shopapp.presenters import feeding, lobe_views, rounds, verdicts, wording
from shopapp.presenters.pieces import OK, PLAIN, TODO, Fact

RUN = core.run_all_the_same(())["misfit"]


@dataclass(frozen=True)
class Standing:
    """A part as it stands. live : its log as it counts; advice : None while it is not worked out; signed :
    its last sign-off, None before it; refused : nothing can be worked out from its log"""

    job: core.Job
    live: Sequence[dict[str, Any]]
    advice: core.Advice | None
    signed: core.SignOff | None = None
    refused: bool = False

    @property
    def closed(self) -> bool:
        """True once the part is signed off and nothing came later."""
        return self.signed is not None and self.signed.closed

    @property
    def cautions_read(self) -> bool:
        """True once the cautions were acknowledged for this part."""
        return any(event.get("cautions") == "understood" for event in self.live)

    @property
    def run_all_the_same(self) -> bool:
        """True once it was logged that the part is worked although it does not fit."""
        return any(event.get("misfit") == RUN for event in self.live)

    @property
    def passes_done(self) -> int:
        """How many passes were run."""
        return len(rounds.passes(self.live))


@dataclass(frozen=True)
class Step:
    """text : the whole sentence; key : short, for the main key; screen : where it leads; anew : the template
    is seated anew for it, so that what is read there is a round of its own"""

    text: str
    key: str
    screen: str
    anew: bool = False


SEAT_ANEW = Step(
    "Seat the template anew and read again, with a finer gauge if you have one",
    "Read again",
    "gaps",
    anew=True,
)
DOUBTED = Step(
    "Read the whole round again: as it stands it can hardly be right",
    "Read again",
    "gaps",
    anew=True,
)
REFUSED = Step(
    "Look at the gaps again, and put right or take back what is wrong: nothing can be worked out from them",
    "Read gaps",
    "gaps",
)

UNFIT = Step(
    "The part does not fit tool or machine: see by how much, and what would",
    "Does not fit",
    "misfit",
)
ONCE_IT_FITS = "once it fits"
"""what is said beside a pass that cannot be run as it stands"""


def misfits(standing: Standing) -> tuple[str, ...]:
    """Why what is planned cannot be run, a sentence each; none where it can, or is run all the same."""
    return () if standing.advice is None or standing.closed else standing.advice.misfits


def if_it_fits(standing: Standing, text: str) -> str:
    """What is next, with that it cannot be run as it stands where that is so."""
    return f"{wording.capital(ONCE_IT_FITS)}: {text}" if misfits(standing) else text


def taken(log: Callable[[dict[str, Any]], object], step: Step) -> str:
    """The screen that a step leads to, the template logged as seated anew where that is part of it."""
    if step.anew:
        log(core.template_seated())
    return step.screen


def next_step(standing: Standing) -> Step:
    """The one thing to do next."""
    if standing.closed:
        return Step("Show the finish check", "Finish check", "finish")
    if rounds.unread_pass(standing.live) and not pass_goes_along(standing):
        return Step(f"Read the gaps after pass {standing.passes_done}", "Read gaps", "gaps")
    open_round = rounds.open_round(standing.live)
    if open_round.read and not open_round.ended and unread_stations(standing.job, open_round):
        total = readable_count(standing.job, open_round)
        return Step(f"Go on reading: {open_round.read} of {total} gaps read", "Go on reading", "gaps")
    return after_reading(standing)


def after_reading(standing: Standing) -> Step:
    """The next thing to do once the gaps are read, whether or not all of them are."""
    advice = standing.advice
    if advice is None:
        return REFUSED if standing.refused else Step("Look at the part", "Part", "part")
    if advice.doubts and advice.next_pass is None:
        return DOUBTED
    if advice.suspects:
        places = ", ".join(f"{s.station + 1}{wording.on_meridian(s.at_deg)}" for s in advice.suspects)
        return Step(f"Read again at {standing.job.part.sites.label} {places}", "Read again", "gaps")
    close = advice.verdict == "too close to call"
    if advice.next_pass is None and advice.verdict != "within" and round_doubts(standing):
        return DOUBTED
    if close and not rounds.seated_anew(standing.live):
        return SEAT_ANEW
    if misfits(standing):
        return UNFIT
    step = rounding(advice)
    if step is not None:
        then = "; then the pass, before the gaps are read" if advice.next_pass is not None else ""
        return Step(f"{lobe_views.text(step)}{then}", "Rounding step", pass_screen(standing))
    if advice.next_pass is not None:
        text = pass_text(standing.job.part.sites, standing.passes_done + 1, advice.next_pass)
        return Step(text, "Next pass", pass_screen(standing))
    if advice.verdict == "within" and advice.lobing is not None and advice.lobing.more_deg:
        return Step("Read more meridians: those read do not tell all lobes", "More meridians", "gaps")
    if advice.smooth_now is not None:
        return Step(smoothing_text(advice.smooth_now), "Smooth", pass_screen(standing))
    if advice.verdict == "within":
        return Step("Finish check", "Finish check", "finish")
    return SEAT_ANEW if close else Step("Read the gaps again", "Read again", "gaps")


def pass_goes_along(standing: Standing) -> bool:
    """Whether a step against lobes came last and a pass is to go with it before the gaps are read."""
    planned = standing.advice is not None and standing.advice.next_pass is not None
    return planned and rounds.last_struck(standing.live) == "rounded"


def rounding(advice: core.Advice | None) -> core.RoundingStep | None:
    """The step against lobes that is advised; none once the part is within."""
    if advice is None or advice.lobing is None or advice.verdict == "within":
        return None
    return advice.lobing.step


def smoothing_text(smoothing: core.Smoothing) -> str:
    """The smoothing pass in a line."""
    return (
        f"Smooth the faces: {smoothing.bite} bite, {wording.count(smoothing.total, 'stroke')}, "
        f"{smoothing.strokes_per_minute:.0f} strokes/min, feed {feeding.fed(smoothing.feed[0])}"
    )


def pass_screen(standing: Standing) -> str:
    """The pass card, by way of what does not fit, and of the cautions while those are unread."""
    if misfits(standing):
        return UNFIT.screen
    return "pass_card" if standing.cautions_read else "cautions"


def pass_text(sites: core.Sites, number: int, planned: core.Pass) -> str:
    """A pass in a line: "Pass 3: shrink, medium bite, 54 strokes"."""
    strokes = wording.count(planned.total, "stroke")
    anneal = "anneal, then " if planned.anneal_first else ""
    done = sites.done_by(planned.action, planned.strokes)
    return f"Pass {number}: {anneal}{done}, {planned.bite} bite, {strokes}"


def pass_place(standing: Standing) -> str:
    """Where the part is: "pass 3 of 5", "2 passes done", "not started"."""
    done = standing.passes_done
    ahead = len(standing.advice.remaining) if standing.advice else 0
    if standing.closed:
        return "signed off"
    if ahead:
        return f"pass {done + 1} of {done + ahead}"
    return f"{wording.count(done, 'pass')} done" if done else "not started"


def measured(advice: core.Advice | None) -> core.Advice | None:
    """The advice when the part was read since its last pass, else None: then its gaps are not known yet."""
    return None if advice is None or advice.verdict == "not measured" else advice


def widest_text(advice: core.Advice | None) -> str:
    """The widest gap with its band, "not known yet" while the part is not read, "in doubt" where a
    whole round is."""
    known = measured(advice)
    if known is None:
        return wording.UNKNOWN
    if known.doubts:
        return verdicts.IN_DOUBT.lower()
    return wording.band(known.widest_gap_mm, known.widest_gap_sd_mm)


def widest_fact(advice: core.Advice | None, state: str) -> Fact:
    """The widest gap in big figures: as measured, in the colour of its state; else as reckoned, in none."""
    if advice is None or isnan(advice.widest_gap_mm):
        return Fact("Widest gap", wording.UNKNOWN, TODO, big=True)
    gap = wording.band(advice.widest_gap_mm, advice.widest_gap_sd_mm)
    if measured(advice) is None:
        return Fact("Widest gap, reckoned, not measured", gap, TODO, big=True)
    if advice.doubts:
        read = f"{wording.length(advice.widest_gap_mm)}, if it were right"
        return Fact("Widest gap as read, in doubt", read, TODO, big=True)
    return Fact("Widest gap", gap, state, big=True)


def state_of(standing: Standing) -> tuple[str, str]:
    """(state, words) of the part: its verdict, or that it is signed off."""
    if standing.closed:
        return _signed_state(standing)
    if standing.advice is None:
        return TODO, "Not worked out yet"
    words, state = verdicts.of(standing.advice)
    return state, words if standing.signed is None else f"{words}, not signed off anew"


def _signed_state(standing: Standing) -> tuple[str, str]:
    """Gaps that are outside their tolerance stay so, whatever was signed."""
    conceded = " with concession" if standing.signed and standing.signed.event.get("concession") else ""
    known = measured(standing.advice)
    words, state = ("", PLAIN) if known is None else verdicts.of(known)
    if state in (OK, PLAIN):
        return state, f"Signed off{conceded}"
    return state, f"{words}, signed off{conceded}"


def reasons(standing: Standing) -> tuple[str, ...]:
    """Why the advice is what it is; none for a signed part, whose work is over."""
    return () if standing.advice is None or standing.closed else standing.advice.reasons


def said(standing: Standing) -> tuple[str, ...]:
    """Doubts of the readings, for nothing holds before they are cleared, then reasons, then what goes for the
    whole job, each once."""
    more = () if standing.advice is None else standing.advice.warnings
    every = (*round_doubts(standing), *reasons(standing), *more)
    return tuple(dict.fromkeys(map(wording.capital, every)))


def round_doubts(standing: Standing) -> tuple[str, ...]:
    """Why what was read since the last pass is doubted as a whole; none for a signed part."""
    if standing.advice is None or standing.closed:
        return ()
    return tuple(said for said in standing.advice.warnings if said not in standing.job.warnings)


def time_left(standing: Standing) -> tuple[Fact, ...]:
    """How long what is still planned takes, and the changes of tool in that."""
    advice = standing.advice
    if advice is None or standing.closed or not advice.minutes_left > 0.0:
        return ()
    return (
        Fact(
            "Time left", f"about {wording.minutes(advice.minutes_left)}{feeding.in_all(standing.job, advice)}"
        ),
    )


def readable(job: core.Job, open_round: rounds.Round) -> list[int]:
    """Stations (from 0) where the template of this round can be offered up."""
    template = job.template if open_round.template is None else core.template_from(open_round.template)
    layout = template.layout(job.part.sites.position_mm, job.part.length_mm)
    return [i for i, can in enumerate(layout.readable) if can]


def readable_count(job: core.Job, open_round: rounds.Round) -> int:
    """How many stations there are to be read."""
    return len(readable(job, open_round))


def unread_stations(job: core.Job, open_round: rounds.Round) -> list[int]:
    """Stations (from 0) that are neither read nor skipped in this round."""
    return [i for i in readable(job, open_round) if i not in open_round.gaps]


def mostly(job: core.Job) -> str:
    """The action that the part asks for most."""
    return "shrink" if float(job.part.target.sum()) >= 0.0 else "stretch"
