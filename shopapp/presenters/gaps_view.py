"""What the Gaps screen shows, from the open round and what the operator has in hand."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

import core
from shopapp.presenters import (
    expectation,
    meridians,
    plan_view,
    rounds,
    scales,
    screening,
    steps,
    strips,
    wording,
)
from shopapp.presenters.gaps_hand import NONE, Hand, Question
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.rounds import Round
from shopapp.presenters.session import Session
from shopapp.presenters.views import GapsView

Array = NDArray[np.float64]
WIDEST_MM = 100.0
"""reach of a gauge beyond which no gap of a part is"""
ASKED = "Angle from the mark, 0 to 360°"
DIGITS = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".", "-")


def draw(
    session: Session,
    open_round: Round,
    hand: Hand,
    station: int | None,
    question: Question,
    complaint: str,
    go: str,
) -> GapsView:
    """The view. station : asked for (from 0), None when all are read; question : why it is asked for again"""
    job = session.job
    gauge = job.gauge if open_round.gauge is None else core.gauge_from(open_round.gauge)
    template = job.template if open_round.template is None else core.template_from(open_round.template)
    if hand.choosing == "angle":
        station = None
    scale = scales.scale_of(job, gauge)
    mean, sd = expected(session, open_round.without(station))
    in_doubt = set(suspects(session, open_round)) | (
        {station} if question.text and station is not None else set()
    )
    total = steps.readable_count(job, open_round)
    pad = (not gauge.leaves_mm if hand.pad is None else hand.pad) or hand.choosing == "angle"
    return GapsView(
        header=Header(f"{job.name}, {_when(session)}", scale.header_unit, back="part"),
        strip=strips.for_gaps(
            job,
            template,
            _reach(job, open_round),
            open_round.gaps,
            (mean, sd),
            frozenset(in_doubt),
            station,
            _texts(job, open_round),
        ),
        station=ASKED if hand.choosing == "angle" else _place(job, open_round, station),
        expected=""
        if station is None
        else question.expected or scale.band(float(mean[station]), float(sd[station])),
        entry=hand.entry,
        entry_unit="°" if hand.choosing == "angle" else scale.unit,
        last=hand.last,
        progress=f"{open_round.read} of {total} read",
        question=question.text,
        complaint=complaint,
        mode="pad" if pad else "leaves",
        leaves=() if pad else _leaves(gauge),
        nearest="" if pad or station is None else _nearest(gauge, float(mean[station])),
        pad=pad_keys(hand.entry, not template.rigid and hand.choosing != "angle") if pad else (),
        keys=_keys(session, open_round, hand, station, question.text, gauge),
        choosing="" if hand.choosing == "angle" else hand.choosing,
        choices=_choices(session, hand, gauge, template, open_round.at_deg),
        plan=None if station is None else plan_view.of_sites(job, [station], "read"),
        go=go,
    )


def expected(session: Session, open_round: Round) -> tuple[Array, Array]:
    """(n,) expected readings and (n,) their standard deviations in mm; NaN where nothing is known.

    What the refit expects is meant for the job's template; for another one nothing is known.
    """
    mean, sd = _best_seated(session, open_round)
    found = expectation.residuals(_read_mm(open_round), mean)
    moved = expectation.shifted(mean, found, session.job.part.sites.position_mm)
    template = session.job.template
    return np.where(
        template.rigid & (moved < 0), 0.0, moved
    ), sd  # a template that touches has no gap below 0


def no_surprise(session: Session, open_round: Round, station: int) -> list[float]:
    """Values that would fit what was read beside this station, mm."""
    mean, _ = _best_seated(session, open_round)
    found = expectation.residuals(_read_mm(open_round), mean)
    return expectation.candidates(station, mean, found, session.job.part.sites.position_mm)


def _best_seated(session: Session, open_round: Round) -> tuple[Array, Array]:
    """As the refit says it for the job's template; NaN throughout for another one."""
    advice = session.round_advice
    if advice is None or open_round.template is not None:
        unknown = np.full(len(session.job.part.sites), np.nan)
        return unknown, unknown
    return session.expected_on(open_round.at_deg)


def _read_mm(open_round: Round) -> dict[int, float]:
    """Readings that are numbers, by station; touching is 0, beyond says too little."""
    words = {"touching": 0.0}
    known = {i: words.get(gap, gap) if isinstance(gap, str) else gap for i, gap in open_round.gaps.items()}
    return {i: float(mm) for i, mm in known.items() if mm is not None and mm != "beyond"}


def suspects(session: Session, open_round: Round) -> dict[int, core.Suspect]:
    """Readings of this round that the refit sets aside and nobody has confirmed, by station (from 0)."""
    advice = session.round_advice
    if advice is None or session.stale:
        return {}
    return {
        s.station: s
        for s in advice.suspects
        if open_round.gaps.get(s.station) is not None
        and s.station not in open_round.confirmed
        and s.at_deg in (None, open_round.at_deg)
    }


def suspicion(session: Session, open_round: Round, scale: scales.Scale, station: int) -> Question:
    """Why the refit sets this station's reading aside, where it does."""
    suspect = suspects(session, open_round).get(station)
    if suspect is None:
        return NONE
    expected, told = scale.band(suspect.expected_mm, suspect.sd_mm), scale.told(suspect.read_mm)
    read = f"{'beyond ' if suspect.beyond else ''}{told} was read"
    if open_round.gaps[station] == "touching":
        read = screening.was_read("touching")
    text = f"{read}, everything else says {expected}. Read it again, please."
    return Question(text, expected)


def _reach(job: core.Job, open_round: Round) -> dict[int, float]:
    """Largest reading of the gauge that was used at each station, mm."""
    used = {s: job.gauge if g is None else core.gauge_from(g) for s, g in open_round.gauges.items()}
    return {station: gauge.largest_mm for station, gauge in used.items()}


def _texts(job: core.Job, open_round: Round) -> dict[int, str]:
    """Readings that are not told in mm, by station."""
    used = {i: job.gauge if g is None else core.gauge_from(g) for i, g in open_round.gauges.items()}
    return {
        i: scales.scale_of(job, gauge).text(open_round.gaps[i])
        for i, gauge in used.items()
        if gauge.name == core.PROTRACTOR and open_round.gaps[i] is not None
    }


def _place(job: core.Job, open_round: Round, station: int | None) -> str:
    label = job.part.sites.label
    text = f"all {label}s read" if station is None else f"{label} {station + 1} of {len(job.part.sites)}"
    return f"{wording.degrees(open_round.at_deg)}: {text}" if meridians.has(job) else text


def _when(session: Session) -> str:
    done = session.standing.passes_done
    return f"gaps after pass {done}" if done else "gaps before the first pass"


def _leaves(gauge: core.Gauge) -> tuple[Key, ...]:
    return tuple(Key(f"leaf:{mm:g}", wording.digits(mm)) for mm in gauge.leaves_mm)


def _nearest(gauge: core.Gauge, expected_mm: float) -> str:
    """Name of the leaf key that is nearest to the expected gap, "" where nothing is known."""
    if not np.isfinite(expected_mm):
        return ""
    return f"leaf:{min(gauge.leaves_mm, key=lambda mm: abs(mm - expected_mm)):g}"


def pad_keys(entry: str, below_zero: bool) -> tuple[Key, ...]:
    """Number keys. entry : typed so far; below_zero : whether a minus makes sense"""
    digits = (Key(f"digit:{c}", "−" if c == "-" else c, enabled=c != "-" or below_zero) for c in DIGITS)
    typed = bool(entry.strip())
    return (*digits, Key("erase", "Rub out", enabled=bool(entry)), Key("enter", "Enter", typed, typed))


def _keys(
    session: Session,
    open_round: Round,
    hand: Hand,
    station: int | None,
    question: str,
    gauge: core.Gauge,
) -> tuple[Key, ...]:
    if question:
        return (
            Key("again", "Read it again", main=not hand.entry),
            Key("right", "It is right"),
            _undo(session),
        )
    if hand.choosing == "angle":
        return (Key("meridian", "Leave as is"),)
    done = station is None
    further = _further(session, open_round, done)
    see = not any(k.main for k in further)
    finished = Key("all", "See result", main=see) if done else Key("all", "That is all")
    reading = () if done else _answers(session.job, gauge)
    by_pad = bool(gauge.leaves_mm) if hand.pad is None else not hand.pad
    other = (Key("pad", "Number keys"),) if by_pad else (Key("leaves", "Leaf keys"),)
    finished = (
        finished if open_round.read else Key("all", finished.text, enabled=False, why="no gap is read yet")
    )
    return (
        finished,
        *reading,
        _undo(session),
        *further,
        *(other if gauge.leaves_mm else ()),
        Key("gauge", "Gauge", chosen=hand.choosing == "gauge"),
        Key("template", "Template", chosen=hand.choosing == "template"),
        Key("seated", "Seated again"),
    )


def _undo(session: Session) -> Key:
    event = rounds.last_entry(session.events)
    if event is None or not undoable(event):
        return Key("undo", "Undo", enabled=False, why="no reading to undo")
    text = "Undo pass" if event["event"] == "pass_done" else "Undo"
    return Key("undo", text, why=f"takes back {wording.entry(event, session.job.part.sites)}")


def undoable(event: dict[str, Any]) -> bool:
    """Whether an entry is one of this screen, or the work that led here."""
    if event["event"] in rounds.STRUCK:
        return True
    return event.get("with", event)["event"] in ("gap_read", "template_seated") or "with" in event


def _answers(job: core.Job, gauge: core.Gauge) -> tuple[Key, ...]:
    """What can be said of a station without a number."""
    beyond = Key("beyond", f"Beyond {wording.digits(gauge.largest_mm)}")
    words = (Key("touching", "Touching"), *((beyond,) if gauge.largest_mm <= WIDEST_MM else ()))
    return (*(words if scales.scale_of(job, gauge).words else ()), Key("skip", "Skip"))


def _further(session: Session, open_round: Round, done: bool) -> tuple[Key, ...]:
    """To other meridians, and to the rim; the next one is the main key where the pass wants it read."""
    if not meridians.has(session.job):
        return ()
    standing, at_deg = session.standing, open_round.at_deg
    following = meridians.following(standing, at_deg)
    main = done and following is not None and following in meridians.still_wanted(standing)
    onward = () if following is None else (_onward(following, main),)
    return (*onward, Key("meridian", "Meridian"), Key("rim", "Rim", why="its diameters, and its height"))


def _onward(at_deg: float, main: bool) -> Key:
    return Key("next_meridian", f"Next, {wording.degrees(at_deg)}", main=main, why="lay the template there")


def _choices(
    session: Session, hand: Hand, gauge: core.Gauge, template: core.Template, at_deg: float
) -> tuple[Key, ...]:
    job = session.job
    if hand.choosing == "meridian":
        return meridians.choices(session.standing, at_deg)
    offered = tuple(name for name in job.part.templates if name in core.TEMPLATES or name == template.name)
    names = {"gauge": scales.names(job), "template": offered}.get(hand.choosing, ())
    now = {"gauge": gauge.name, "template": template.name}.get(hand.choosing, "")
    return tuple(Key(f"choose:{name}", name, chosen=name == now) for name in names)
