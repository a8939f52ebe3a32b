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


def fill(shop: core.Shop, now: Callable[[], datetime]) -> None:
    """Put the demo's parts into an empty shop, worked as far as their stage; others stay as they are."""
    if shop.parts():
        return
    jobs = demo_jobs()
    _worked(shop, now, {**jobs["shutter-rib"], "name": FINISHED}, MOST_PASSES)
    for name, passes in STAGES.items():
        _worked(shop, now, jobs[name], passes)


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
