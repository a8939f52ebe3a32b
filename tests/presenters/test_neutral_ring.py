"""A dish made both ways from set-up to paper: what the limits laid is stated when the part is begun."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

import core
from shopapp import job_files
from shopapp.next_text import next_lines
from shopapp.presenters import disc_facts, pictures, setup_draft, setup_like, sheet_pictures
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.setup_kinds import BOTH_WAYS
from tests.kinds.test_both_ways import steep
from tests.presenters.conftest import Clock

LABEL = "Ring that keeps its size"


@pytest.fixture
def setup() -> SetupPresenter:
    """A deep cap, left to the limits; every field but the method as the form brings it."""
    setup = SetupPresenter(Session(core.Shop(core.MemoryFolder()), now=Clock()))
    for touch in ("kind=dish", "form=slope", f"method={core.WAYS[-1]}"):
        setup.press(f"choose:{touch}")
    for name, text in {
        "name": "Bowl",
        "shape.radius": "300",
        "shape.angle": "85",
        "thickness": "1.5",
        "pitch": "40",
    }.items():
        setup.change(name, text)
    setup.press("choose:template=layout line")
    return setup


def field(view: Any, name: str) -> Any:
    return next((one for one in view.fields if one.name == name), None)


def test_starting_states_method_and_ring(setup: SetupPresenter) -> None:
    assert field(setup.press("step:section"), "neutral_ring") is None
    view = setup.press("step:plan")
    assert view.complaints == () and setup.press("start").go == "part"
    document = setup.session.job.document
    assert document["method"] == BOTH_WAYS and document["neutral_ring"].endswith(" mm")
    assert setup.session.job.settled == {}
    again = setup_like.like(document)
    made = setup_draft.document(again)
    assert (made["method"], made["neutral_ring"]) == (document["method"], document["neutral_ring"])


def test_a_ring_can_be_typed_and_is_complained_of_by_name(setup: SetupPresenter) -> None:
    setup.press(f"choose:method={BOTH_WAYS}")
    blank = field(setup.press("step:section"), "neutral_ring")
    assert (blank.value, blank.hint) == ("", "such as 150; blank: by limits")
    said = setup.press("step:plan").side_text
    assert (
        said.startswith("The metal gets shorter (shrink) at rings ")
        and " and gets longer (stretch) at " in said
    )
    setup.press("step:section")
    setup.change("neutral_ring", "900")
    assert "at most 445.1 mm is wanted" in field(setup.view(), "neutral_ring").complaint
    setup.change("neutral_ring", "260")
    setup.press("step:plan")
    assert setup.press("start").go == "part"
    assert setup.session.job.document["neutral_ring"] == "260 mm"
    assert setup.session.job.part.kept_ring_mm[0] == pytest.approx(260.0)  # type: ignore[attr-defined]


def test_the_ring_is_told_in_plain_words() -> None:
    job = core.job(steep().settled_document)
    told = {fact.label: fact.value for fact in disc_facts.blank(job)}[LABEL]
    assert told.startswith(
        "radius 161.9 mm, on the disc as on the dish; 173.5 mm from the pole along the dish"
    )
    assert "Inside it the metal is stretched, outside it shrunk" in told
    assert any(told in line for line in next_lines(job, core.refit(job, [])))
    picture = sheet_pictures.disc(job)
    assert picture is not None and any(told in said for said, _ in picture.said)
    own = pictures.of_part(job)
    assert own is not None and "bold inside: the ring that keeps its size" in own.said[0][0]
    (size,) = picture.drawing.sizes  # type: ignore[union-attr]
    cut = {fact.label: fact.value for fact in disc_facts.blank(job)}["Cut the disc to"]
    assert cut.startswith(f"about {size.text} across") and f"about {size.text} across" in picture.said[0][0]
    assert len(picture.drawing.worked) == 2  # type: ignore[union-attr]
    record = core.part_record(job, [])
    (fact,) = [fact for fact in record.facts if fact.label == LABEL.lower()]
    assert fact.text == told
    single = core.job({**job.document, "method": "shrink the edge", "neutral_ring": None})
    assert disc_facts.ring_kept(single) == ()


def test_the_terminal_tells_it_throughout_and_what_a_file_has_to_state() -> None:
    """What is done on either side of the ring goes for every pass, not for the first one alone."""
    job = steep()
    log = [core.pass_done("shrink", [0] * (len(job.part.sites) - 1) + [2], "light")]
    for events in ([], log):
        lines = next_lines(job, core.refit(job, events))
        assert sum("ring that keeps its size: radius" in line for line in lines) == 1
        (stated,) = [line for line in lines if '"neutral_ring": "173.5 mm"' in line]
        assert stated.startswith("  for it to stay so")
    begun = core.job(job.settled_document)
    assert not any('"neutral_ring"' in line for line in next_lines(begun, core.refit(begun, [])))


def test_a_file_taken_into_the_shop_states_it_unless_sealed() -> None:
    session = Session(core.Shop(core.MemoryFolder()), lambda: datetime(2026, 3, 14, tzinfo=UTC))
    job = steep()
    plain = core.read_document(core.write_document(job.document, []))
    assert job_files.take(session.shop, plain) and not job_files.take(session.shop, plain)
    (card,) = session.shop.parts()
    assert session.shop.open(card.id).job_document == job.settled_document
    shop, other = core.Shop(core.MemoryFolder()), {**job.document, "name": "Older bowl"}
    part = shop.open(shop.new_part(other))  # as an earlier version began it
    part.append(core.note("cut"))
    sealed = core.read_document(core.write_document(part.job_document, part.events))
    assert job_files.take(session.shop, sealed) and not job_files.take(session.shop, sealed)
    (taken,) = [card for card in session.shop.parts() if card.name == "Older bowl"]
    assert session.shop.open(taken.id).job_document == other
    assert session.shop.open(taken.id).seals.broken == ()
