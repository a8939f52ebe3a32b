"""Whole jobs played in the terminal against a simulated bar, from set-up to sign-off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TextIO

import core
from shopapp.demo_jobs import demo_jobs
from shopapp.playing import Play
from shopapp.presenters import bow_facts, lobe_views, reseating, setup_preview, steps, verdicts, wording
from shopapp.presenters.part_words import words_of
from shopapp.presenters.setup_kinds import KINDS

ALL_WELL, NOT_REACHED = 0, 1
MOST_PASSES = 15
MOST_ROUNDS = 3
SEED = 20
NOT_PLAYED = "the simulated part answers gaps and bow alone"
NOT_COUNTERED = "no counter-work is rehearsed"


def rehearse(names: Sequence[str] | None, folder: Path, out: TextIO, seed: int = SEED) -> int:
    """Play the named jobs (None: all of them) and keep their records in the shop in ``folder``.

    Beside the shop's own files every part is left as ``NAME.json``, job and log in one document.
    Returns 0 only when every part was signed off and truly is within its tolerance.
    Raises InputError for a name that is no job, StoreError when the folder cannot be used.
    """
    jobs = demo_jobs()
    for name in names or ():
        if name not in jobs:
            raise core.InputError("job", name, "one of " + ", ".join(jobs) + " is wanted")
    reached, conceded = True, []
    with core.Shop(folder) as shop:
        for k, name in enumerate(names or jobs):
            begun = core.job(jobs[name]).settled_document
            play = Play(shop.open(shop.new_part(begun)), seed + k)
            _write(out, _opening(play))
            within = _played(play, out)
            document = folder / f"{name}.json"
            document.write_text(core.write_document(play.part.job_document, play.part.events), "utf-8")
            _write(out, _ending(play, within, document))
            reached = reached and within
            conceded += [play.job.name] if _failed(play) else []
    _write(out, _summary(reached, conceded))
    return ALL_WELL if reached else NOT_REACHED


def _played(play: Play, out: TextIO) -> bool:
    """Passes and gaps until the core is content; True when signed off and truly within tolerance."""
    advice = play.advice()
    _write(out, _plan(play.job, advice))
    for _ in range(MOST_PASSES):
        step = steps.rounding(advice)
        if step is not None:
            _write(out, [f"  {lobe_views.text(step)}, {lobe_views.arcs(step)}"])
            play.strike(step)
            advice = play.advice()  # a pass may go with it before the gaps are read
        if advice.next_pass is not None:
            _write(out, _pass(play.job, advice.passes_done + 1, advice.next_pass))
            play.run(advice.next_pass)
        elif advice.smooth_now is not None:
            _write(out, [f"  {steps.smoothing_text(advice.smooth_now)}"])
            play.smooth(advice.smooth_now)
        elif step is None:
            break
        advice = _measured(play, out)
    if advice.verdict != "within":
        return False
    if bow_facts.bows(play.job, advice):
        play.read_bow()
        advice = play.advice()
    _write(out, _checked(play, advice))
    play.sign_off(_concession(play))
    return play.bar.widest_gap_mm() <= play.job.tolerance_mm


def _measured(play: Play, out: TextIO) -> core.Advice:
    """Read gaps. What is questioned is read again; the template is seated again where that may help."""
    for _ in range(MOST_ROUNDS):
        rounds = [play.read()]
        advice = play.advice()
        rounds += [play.read(at_deg) for at_deg in _more(advice)]
        for taken in rounds:
            _write(out, _gaps(play, taken))
        advice = play.advice()
        if advice.suspects:
            for taken in rounds:
                _read_again(play, out, taken, advice.suspects)
            advice = play.advice()
        _write(out, _verdict(play.job, advice))
        if advice.verdict != "too close to call" and advice.reseat is None:
            break
    return advice


def _more(advice: core.Advice) -> list[float]:
    """Meridians that would tell lobes, once the one that was read is not outside."""
    if advice.lobing is None or advice.verdict in ("outside", "not measured"):
        return []
    return [at for at in advice.lobing.more_deg if at not in advice.lobing.read_deg]


def _read_again(play: Play, out: TextIO, taken: core.Event, suspects: Sequence[core.Suspect]) -> None:
    at_deg = taken.get("at_deg") or 0.0
    stations = [one.station for one in suspects if (one.at_deg or 0.0) == at_deg]
    if stations:
        _write(out, [f"    read again, as it did not fit: {_numbers(stations)}"])
        play.read_again(taken, stations)


def _checked(play: Play, advice: core.Advice) -> Iterator[str]:
    """The bow against its limit, and the checks that nobody can read of a part that is only reckoned."""
    effect = advice.side_effects
    result = core.bow_result(play.job, effect) if effect and bow_facts.bows(play.job, advice) else None
    if effect is not None and result is not None:
        yield f"    bow      {bow_facts.expected(effect)}: {result.verdict} ({result.check.limit})"
    unread = _unread(play)
    if unread:
        yield f"    not read {', '.join(unread)}: {NOT_PLAYED}"


def _against(play: Play) -> tuple[core.CheckResult, ...]:
    """Checks that stand against the part."""
    return core.standing_against(core.check_results(play.job, core.effective(play.part.events)))


def _unread(play: Play) -> list[str]:
    return [result.check.label for result in _against(play) if result.missing]


def _failed(play: Play) -> list[str]:
    """Checks of the bow, the only ones read here, that it is not within, "bow 9.22 mm, outside (at most 1.00
    mm)"."""
    return [
        f"bow {core.format_length(float(one.value))}, {one.verdict} ({one.check.limit})"
        for one in _against(play)
        if one.check.bow and one.value is not None
    ]


def _concession(play: Play) -> str:
    """What is not in order and why it is signed all the same, "" where all is."""
    failed, unread = _failed(play), _unread(play)
    said = [f"{', '.join(failed)}: {NOT_COUNTERED}"] if failed else []
    said += [f"not read {', '.join(unread)}: {NOT_PLAYED}"] if unread else []
    return "; ".join(said)


def _summary(reached: bool, conceded: Sequence[str]) -> Iterator[str]:
    """The last lines: gaps of all parts, and parts that are outside beside them."""
    yield ""
    if not reached:
        yield "Not every part reached its tolerance."
    elif conceded:
        yield "All parts reached their tolerance in their gaps."
    else:
        yield "All parts reached their tolerance."
    if conceded:
        yield f"Signed by concession, with a bow outside its limit: {', '.join(conceded)}."


def _opening(play: Play) -> Iterator[str]:
    job = play.job
    yield ""
    yield f"{job.name}"
    yield f"  {job.document['note']}"
    yield (
        f"  {_made(job)}, {setup_preview.line_text(job)}, {job.template.name} template, {job.gauge.name}, "
        f"tolerance {core.format_limit(job.tolerance_mm)}"
    )
    yield from (f"  caution: {sentence}" for sentence in job.warnings)


def _made(job: core.Job) -> str:
    """What is made: the shape of a bar, or the kind of part."""
    section = job.document.get("section")
    return str(section["shape"]) if section else KINDS[job.kind].label.lower()


def _plan(job: core.Job, advice: core.Advice) -> Iterator[str]:
    now = core.format_length(advice.widest_gap_mm)
    yield f"  before any work the widest gap is about {now}, as reckoned from {words_of(job.part).stock}"
    yield f"  planned: {_count(len(advice.remaining), 'pass', 'passes')}"
    for planned in advice.remaining:
        gap = core.format_length(planned.expected_gap_mm)
        yield f"    {_work(job, planned)}, then about {gap}{_beside(planned)}"
    yield from (f"    {sentence}" for sentence in advice.reasons)


def _pass(job: core.Job, number: int, planned: core.Pass) -> Iterator[str]:
    expected = core.format_band(planned.expected_gap_mm, planned.expected_gap_sd_mm)
    yield f"  pass {number}: {_work(job, planned)}"
    yield f"    strokes  {' '.join(str(int(m)) for m in planned.strokes)}"
    yield f"    expected widest gap {expected}{_beside(planned)}"


def _beside(planned: core.Pass) -> str:
    """Bow and twist after a pass, where they can be seen."""
    told = core.beside(planned)
    return f", {told}" if told else ""


def _work(job: core.Job, planned: core.Pass) -> str:
    anneal = "anneal, then " if planned.anneal_first else ""
    does = job.part.sites.done_by(planned.action, planned.strokes)
    return f"{anneal}{does}, {planned.bite} bite, {_count(planned.total, 'stroke')}"


def _gaps(play: Play, taken: core.Event) -> Iterator[str]:
    words = {None: "-", "touching": "0", "beyond": ">"}
    shown = (words[g] if g is None or isinstance(g, str) else f"{g:g}" for g in taken["gaps_mm"])
    others = sorted({gauge for gauge in taken.get("gauge") or () if gauge})
    at = [] if taken.get("at_deg") is None else [f"meridian at {wording.degrees(taken['at_deg'])}"]
    yield f"    gaps, mm {' '.join(shown)}  ({', '.join([play.job.gauge.name, *others, *at])})"


def _verdict(job: core.Job, advice: core.Advice) -> Iterator[str]:
    for response in advice.response.values():
        if response.known:
            yield f"    learned  {job.part.sites.done_by(response.action)}, {response.bite}: {response}"
    band = core.format_band(advice.widest_gap_mm, advice.widest_gap_sd_mm)
    chance = verdicts.chance(advice.chance_within)
    yield f"    verdict  {advice.verdict}, widest gap {band}, chance of being within {chance}"
    yield from (f"    {sentence}" for sentence in advice.reasons)
    seat = reseating.view(job, advice.reseat)
    if seat is not None:
        yield f"    {seat.text}"


def _ending(play: Play, within: bool, document: Path) -> Iterator[str]:
    true = core.format_length(play.bar.widest_gap_mm())
    done = [event for event in core.effective(play.part.events) if event["event"] == "pass_done"]
    strokes = sum(play.job.strokes_in_all(event["action"], event["strokes"]) for event in done)
    state = "signed off" if within else "NOT within its tolerance"
    spent = f"{_count(len(done), 'pass', 'passes')}, {_count(strokes, 'stroke')}"
    yield f"  {state} after {spent}; the part's true widest gap is {true}"
    concession = _concession(play)
    if within and concession:
        yield f"  with concession: {concession}"
    yield f"  record: part {play.part.id}, {document}"


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def _numbers(stations: Iterable[int]) -> str:
    return "station " + ", ".join(str(i + 1) for i in stations)


def _write(out: TextIO, lines: Iterable[str]) -> None:
    for line in lines:
        print(line, file=out)
