"""The demo shop: invented jobs at different stages, each with a bar that answers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from zlib import crc32

import core
from shopapp.demo_jobs import demo_jobs
from shopapp.playing import Play
from shopapp.presenters.session import Session

STAGES = {"canopy-frame": 0, "gutter-rib": 1, "wind-vane-rib": 2, "shutter-rib": 3}
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


def bar_of(part: core.PartFile) -> core.SimulatedBar:
    """The bar that answers for a part of the demo shop, as it is after the part's log.

    Its hidden numbers follow from the part's id, so that it is the same bar whenever the shop is opened.
    """
    return core.answering_bar(core.job(part.job_document), part.events, _seed(part))


def _worked(shop: core.Shop, now: Callable[[], datetime], job: dict[str, object], passes: int) -> None:
    part = shop.open(shop.new_part(job))
    play = Play(part, _seed(part))
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


def _seed(part: core.PartFile) -> int:
    return crc32(part.id.encode())
