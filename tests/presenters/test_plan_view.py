"""Where sites lie on the part, beside the strip of a pass and of the gaps."""

from __future__ import annotations

from itertools import pairwise
from math import dist
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import plan_view
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from tests.made_up import OUTLINES, bowl, flange, rib
from tests.presenters.conftest import Clock, settled

DOCUMENTS = pytest.mark.parametrize(
    "document",
    [rib(), bowl(), flange(), flange(outline=OUTLINES["mixed"])],
    ids=["bar", "dish", "rim", "mixed"],
)


def length(line: Any) -> float:
    return sum(dist(a, b) for a, b in pairwise(line))


@DOCUMENTS
def test_sites_are_drawn_bold_as_long_as_they_are(document: dict[str, Any]) -> None:
    """Neighbours together; on the line that is drawn to scale."""
    job = core.job(document)
    width = job.part.sites.width_mm
    outline = plan_view.of_sites(job, [1, 2, 4], "strike").outline
    assert [length(arc) for arc in outline.arcs] == pytest.approx([width[1:3].sum(), width[4]], rel=0.01)
    line = np.array(outline.points)
    for arc in outline.arcs:  # drawn as straights between points of a curve
        assert max(np.hypot(*(line - place).T).min() for place in arc) < 0.5 * length(outline.points) / 100
    assert outline.factor_text.endswith("bold: strike")


def test_numbers_stand_at_the_ends_and_at_quarters_of_a_ring() -> None:
    def named(document: dict[str, Any], sites: list[int]) -> list[str]:
        return [text for _, text in plan_view.of_sites(core.job(document), sites, "read").outline.ends]

    n = len(core.job(flange()).part.sites)
    assert named(rib(), [3, 4]) == ["1", "30"]
    assert named(flange(), [3, 4]) == [str(1 + n * k // 4) for k in range(4)]
    assert named(flange(), [6]) == ["7"]


def test_of_a_disc_the_rings_are_bold_from_above_and_of_others_the_section_stands_beside() -> None:
    dish = core.job(bowl())
    across = plan_view.of_sites(dish, [2, 3], "strike").across
    assert across is not None
    middles = 0.5 * (dish.part.rings_mm[1:] + dish.part.rings_mm[:-1])
    radii = [np.hypot(*circle[0]) for circle in across.drawing.worked]
    assert radii == pytest.approx(middles[2:4]) and across.said == ()
    for document in (rib(), flange()):
        assert plan_view.of_sites(core.job(document), [2], "read").across is not None


@DOCUMENTS
def test_it_stands_on_the_pass_card_and_at_the_gaps(
    folder: Any, clock: Clock, document: dict[str, Any]
) -> None:
    session = Session(core.Shop(folder, now=clock), now=clock)
    session.open(session.shop.new_part(document))
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    planned = settled(session).advice.next_pass
    struck = np.flatnonzero(planned.strokes).tolist()
    assert PassCardPresenter(session).view().plan == plan_view.of_sites(session.job, struck, "strike")
    session.log(core.pass_done(planned.action, planned.strokes.tolist(), planned.bite))
    gaps = GapsPresenter(settled(session))
    gaps.tap(2)
    assert gaps.view().plan == plan_view.of_sites(session.job, [2], "read")
    session.log(core.gaps_read([0.1] * len(session.job.part.sites)))
    settled(session)
    view = gaps.view()
    assert view.plan is None or "read" not in view.station
