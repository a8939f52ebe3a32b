"""The demo shop: invented jobs at different stages, each with a bar that answers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from zlib import crc32

import core
from shopapp.demo_jobs import DEEP, MACHINE, SMOOTH, TOOL, demo_jobs
from shopapp.playing import Play
from shopapp.presenters import belongings, responses
from shopapp.presenters.session import Session

STAGES = {
    "canopy-frame": 0,
    "fountain-dish": 1,
    "tank-end": 2,
    "gutter-rib": 1,
    "wind-vane-rib": 2,
    "shutter-rib": 3,
}
"""how many passes each part has had when the demo opens; the last one named comes first on the bench"""
FINISHED = "Shutter rib 2"
MOST_PASSES = 15


def fill(
    shop: core.Shop, now: Callable[[], datetime], tell: Callable[[int, int], None] = lambda ready, of: None
) -> None:
    """Put the parts of the demo that a shop lacks into it, worked as far as their stage; others stay.

    tell : called before each part and at the end, with how many parts are ready, of how many
    """
    wanted = missing(shop)
    if not shop.parts():
        _own(shop, now)
    for ready, (job, passes) in enumerate(wanted):
        tell(ready, len(wanted))
        _worked(shop, now, job, passes)
    tell(len(wanted), len(wanted))


def missing(shop: core.Shop) -> list[tuple[dict[str, object], int]]:
    """Jobs of the demo that the shop has no part of, with the passes of their stage; all of them at first.

    Later those that were left out when the filling was broken off.
    """
    jobs, there = demo_jobs(), {part.name for part in shop.parts()}
    every = [({**jobs["shutter-rib"], "name": FINISHED}, MOST_PASSES)]
    every += [(jobs[name], passes) for name, passes in STAGES.items()]
    return [(job, passes) for job, passes in every if job["name"] not in there]


def bar_of(part: core.PartFile) -> core.SimulatedPart:
    """The bar that answers for a part of the demo shop, as it is after the part's log.

    Its hidden numbers follow from the part's id, so that it is the same bar whenever the shop is opened.
    """
    job = core.job(part.job_document)
    return core.answering_part(job, part.events, _seed(part), batch_of(job))


def offcut_of(trial: core.Trial) -> core.SimulatedBar:
    """An offcut for a trial, of the same metal as the bars; the same trial is always of the same offcut."""
    batch = batch_of(trial.job)
    return core.simulated_bar(trial.job, crc32(f"offcut {trial.action} {trial.bite}".encode()), batch=batch)


def batch_of(job: core.Job) -> int:
    """Seed of what all bars of one metal have in common under one tool, so that a trial and a finished part
    tell the truth of the next one."""
    what: list[object] = [job.metal.name]
    for tool in [job.tool, *(tool for tool in job.tools.values() if tool != job.tool)]:
        what += [tool.patch_length_mm, tool.patch_depth_mm, tool.face, *tool.bites.items()]
    return crc32(repr(tuple(what)).encode())


def _own(shop: core.Shop, now: Callable[[], datetime]) -> None:
    """The tool sets and machines that the demo's parts are made with."""
    session = Session(shop, now)
    for kind, document in (("tools", TOOL), ("tools", SMOOTH), ("machines", MACHINE), ("machines", DEEP)):
        belongings.keep(session, kind, document)


def _worked(shop: core.Shop, now: Callable[[], datetime], job: dict[str, object], passes: int) -> None:
    part = shop.open(shop.new_part(core.job(job).settled_document))
    play = Play(part, _seed(part), batch_of(core.job(part.job_document)))
    for _ in range(passes):
        planned = play.advice().next_pass
        if planned is None:
            play.sign_off()
            break
        play.run(planned)
        play.read()
    session = Session(shop, now)
    session.open(part.id)
    session.finish(session.begin().run())
    if session.standing.closed:
        responses.keep_learned(session)


def _seed(part: core.PartFile) -> int:
    return crc32(part.id.encode())
