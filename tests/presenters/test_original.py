"""An original measured place after place: what is typed is kept, what it gives is shown, then taken."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

import core
from shopapp.presenters.original import OriginalPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter

RADIUS_MM = 1200.0
NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


@pytest.fixture
def session():
    return Session(core.Shop(core.MemoryFolder()), lambda: NOON)


@pytest.fixture
def original(session):
    return OriginalPresenter(session)


def labels(view):
    return [field.label for field in view.fields]


def read_arc(original, length=800.0, every=100, skip=()):
    """Offsets of an arc off a straight edge along its chord."""
    original.change("length", f"{length:g}")
    view = original.change("pitch", f"{every}")
    names = [field.name for field in view.fields if field.name.startswith("read")]
    for name, x in zip(names, np.linspace(0, length, len(names)), strict=True):
        rise = np.sqrt(RADIUS_MM**2 - (x - length / 2) ** 2) - np.sqrt(RADIUS_MM**2 - length**2 / 4)
        if x not in skip:
            view = original.change(name, f"{rise:.2f}".replace(".", ","))
    return view


def test_places_follow_from_length_and_distance(original):
    assert original.view().warnings == ("Length and distance are wanted first, for at most 60 places.",)
    view = original.change("length", "250")
    assert labels(view)[-4:] == ["At 0 mm", "At 100 mm", "At 200 mm", "At 250 mm"]
    view = original.press("by:rise over a chord")
    assert labels(view) == [
        *("Length along the part", "Chord", "A reading every", "A reading may be off by"),
        *("At 100 mm", "At 150 mm"),
    ]
    assert original.change("pitch", "1").outline is None


def test_an_arc_is_measured_and_taken_with_how_far_it_may_be_off(session, original):
    view = read_arc(original)
    facts = {fact.label: fact.value for fact in view.facts}
    arc = 2 * RADIUS_MM * np.arcsin(400 / RADIUS_MM)
    assert float(facts["Length"].removesuffix(" mm")) == pytest.approx(arc, abs=0.2)
    assert view.outline.points[0] == pytest.approx((0.0, 0.0), abs=0.1)
    assert original.press("take").go == "setup"
    setup = SetupPresenter(session)
    setup.press("step:line")
    line = setup._check().job.document["line"]
    assert line["offsets_sd"].endswith(" mm")
    assert 0.0 < float(line["offsets_sd"].removesuffix(" mm")) < 0.1
    assert len(line["offsets"]) == 51
    session.line_taken = {"offsets_mm": [[0, 0], [500, 20], [1000, 0]]}
    setup.view()
    assert "offsets_sd" not in setup._check().job.document["line"]


def test_a_blank_place_is_left_out_and_what_is_wrong_is_marked(original):
    view = read_arc(original, skip=(300.0, 400.0))
    narrow = read_arc(OriginalPresenter(Session(core.Shop(core.MemoryFolder()), lambda: NOON)))
    known, fully = (one.facts[1].value for one in (view, narrow))
    assert float(known.split()[1]) > float(fully.split()[1])
    view = original.change("read[0][3]", "3x")
    assert "'x' is not a unit for a length here" in view.fields[6].complaint
    assert view.facts[1].value == known


def test_too_few_readings_say_how_many_are_wanted(original):
    read_arc(original, every=400)
    assert "readings at 5 places or more are wanted" in original.view().warnings[0]
    assert "readings at 5 places or more" in original.press("take").complaint
    assert not next(key for key in original.view().keys if key.name == "take").enabled


def test_a_second_round_tells_how_good_a_reading_is(original):
    read_arc(original)
    view = original.press("round")
    assert labels(view)[-1] == "At 800 mm, round 2"
    for i in range(9):
        first = float(original.view().fields[3 + i].value.replace(",", "."))
        view = original.change(f"read[1][{i}]", f"{first + 1.0:.2f}")
    known = {fact.label: fact.value for fact in view.facts}["A reading is off by"]
    assert float(known.removesuffix(" mm")) == pytest.approx(np.sqrt((4 * 0.01 + 9 * 0.5) / 13), abs=0.01)


def test_what_was_typed_is_on_disk(session, original):
    before = read_arc(original)
    original.press("symmetric")
    after = OriginalPresenter(session).view()
    assert [field.value for field in after.fields] == [field.value for field in before.fields]
    assert next(key for key in after.keys if key.name == "symmetric").chosen
    cleared = original.press("clear")
    assert cleared.fields[0].value == "" and cleared.outline is None
