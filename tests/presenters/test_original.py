"""An original measured place after place: what is typed is kept, what it gives is shown, then taken."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

import core
from shopapp.presenters.original import OriginalPresenter
from shopapp.presenters.originals import FEWER, WAYS, OriginalsPresenter
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


def read_arc(original, length=800.0, every=100, skip=(), more=0.0):
    """Offsets of an arc off a straight edge along its chord."""
    original.change("length", f"{length:g}")
    view = original.change("pitch", f"{every}")
    names = [field.name for field in view.fields if field.name.startswith("read")]
    for name, x in zip(names, np.linspace(0, length, len(names)), strict=True):
        sagitta = np.sqrt(RADIUS_MM**2 - (x - length / 2) ** 2) - np.sqrt(RADIUS_MM**2 - length**2 / 4)
        rise = sagitta + more * np.sin(np.pi * x / length)
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


def test_a_worn_spot_is_struck_out_at_one_touch_and_taken_in_again(original):
    """At 300 mm the part is worn by 3 mm; what was read stays typed, and every round of it is left out."""
    right = read_arc(original)
    name = next(key.name for key in right.worn if key.name.endswith("[3]"))
    field = name.removeprefix("worn:")
    typed = {f.name: f.value for f in right.fields}[field]
    spoilt = original.change(field, f"{float(typed.replace(',', '.')) - 3.0:.2f}")
    view = original.press(name)
    assert next(key for key in view.worn if key.name == name).chosen
    assert "At 300 mm, worn: left out" in labels(view)
    assert {fact.label: fact.value for fact in view.facts}["Left out as worn"] == "1 reading"

    def off(shown):
        return np.max(np.abs(np.subtract(shown.outline.points, right.outline.points)))

    assert off(view) < 0.1 and off(spoilt) > 0.5
    again = OriginalPresenter(original.session).view()  # as it is on disk
    assert labels(again) == labels(view)
    view = original.press(name)
    assert "At 300 mm" in labels(view) and off(view) == off(spoilt)
    original.press(name)
    assert not any("worn" in label for label in labels(original.press("another")))


def test_a_spot_that_is_bent_is_doubted_where_the_part_is_alike_on_both_sides(original):
    """3 mm at 300 mm, which the reading at 500 mm contradicts; struck out, nothing is doubted."""
    original.press("symmetric")
    assert read_arc(original).warnings == ()
    field = next(f for f in original.view().fields if f.label == "At 300 mm")
    bent = original.change(field.name, f"{float(field.value.replace(',', '.')) - 3.0:.2f}")
    (warning,) = bent.warnings
    assert warning.startswith("The reading at ") and "alike on both sides" in warning
    assert bent.outline is not None
    assert original.press(f"worn:{field.name}").warnings == ()


def test_traced_points_are_measured_and_a_worn_one_is_struck_out(session, original):
    """Nine points of the arc, unevenly apart, the fourth 2 mm off; each is typed as along and up."""
    original.press("by:traced points")
    view = original.change("points", "9")
    assert labels(view)[:4] == ["Points traced", "A reading may be off by", "Point 1, along", "Point 1, up"]
    assert len(view.fields) == 2 + 18 and view.outline is None
    assert view.warnings == ("Both readings of five points or more are wanted.",)
    for i, angle in enumerate(np.radians([-20, -17, -11, -6, 0, 4, 9, 16, 20])):
        x, y = RADIUS_MM * np.sin(angle), RADIUS_MM * np.cos(angle) - 1000.0 + 2.0 * (i == 3)
        original.change(f"read[0][x{i}]", f"{x:.2f}")
        spoilt = original.change(f"read[0][y{i}]", f"{y:.2f}")
    view = original.press("worn:read[0][y3]")
    assert {"Point 4, along, worn: left out", "Point 4, up, worn: left out"} < set(labels(view))
    sure, unsure = ({fact.label: fact.value for fact in v.facts} for v in (view, spoilt))
    assert sure["Left out as worn"] == "1 reading" and "Left out as worn" not in unsure
    original.press("take")
    x, y = np.array(session.line_taken["offsets_mm"]).T
    sagitta = np.sqrt(RADIUS_MM**2 - (x - x.mean()) ** 2)
    assert np.ptp(np.abs(y) - sagitta) < 0.1 or np.ptp(np.abs(y) + sagitta) < 0.1
    assert original.change("points", "none").warnings == (
        "How many points were traced is wanted first, at most 60.",
    )


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


def two_read(original, more):
    """The arc kept, and one that stands farther out in its middle, on the places that were typed for it."""
    read_arc(original)
    original.press("another")
    return read_arc(original, more=more)


def chosen(session, way):
    """The line that goes into the set-up for one of the three ways to go on."""
    both = OriginalsPresenter(session)
    assert both.press(f"follow:{way}").keys[0].why == WAYS[way]
    assert both.press("take").go == "setup"
    return np.array(session.line_taken["offsets_mm"])


def test_which_of_two_originals_to_follow_is_chosen_side_by_side(session, original):
    """A half wave of 3 mm more: free of how they lie that is its mean less at the ends, 3 * 2 / pi, and
    square to the line, which lies 19.5 degrees across there, the cosine of that."""
    view = two_read(original, 3.0)
    assert view.header.where == "Measure another original"
    assert original.press("beside").go == "originals"
    shown = OriginalsPresenter(session).view()
    facts = {fact.label: fact.value for fact in shown.facts}
    end = 6 / np.pi * np.sqrt(1 - (400 / RADIUS_MM) ** 2)
    said = facts["Second left of first at 0 mm"].split()[0]
    assert float(said.replace("\u2212", "-")) == pytest.approx(-end, abs=0.12)
    assert [key.chosen for key in shown.keys] == [False, False, False, True]
    assert shown.sentences[0].startswith("They differ by more")
    off = np.array(shown.outline.part) - np.array(shown.outline.points)
    assert np.max(np.hypot(*off.T)) / shown.outline.factor == pytest.approx(end, abs=0.12)
    heights = [np.ptp(chosen(session, way)[:, 1]) for way in ("first", "second", "mean")]
    arc = RADIUS_MM - np.sqrt(RADIUS_MM**2 - 400**2)
    assert heights == pytest.approx([arc, arc + 3.0, arc + 1.5], abs=0.15)


def test_alike_originals_are_better_known_together(session, original):
    two_read(original, 0.0)
    both = OriginalsPresenter(session)
    known = [float(both.press(f"follow:{way}").facts[0].value.split()[1]) for way in ("first", "mean")]
    assert known[1] == pytest.approx(known[0] / np.sqrt(2), rel=0.1)
    assert both.view().sentences[0].startswith("They differ by no more")


def test_with_one_original_there_is_nothing_to_compare(session, original):
    read_arc(original)
    alone = OriginalsPresenter(session).view()
    assert (alone.sentences, alone.outline) == ((FEWER,), None)
    assert FEWER in OriginalsPresenter(session).press("take").complaint
    names = {key.name for key in original.press("another").keys}
    assert {"beside", "drop"} <= names and not next(
        key for key in original.view().keys if key.name == "beside"
    ).enabled
    assert "another" in {key.name for key in original.press("drop").keys}


def test_a_dish_is_read_from_rim_to_rim(session):
    setup = SetupPresenter(session)
    setup.press("choose:kind=dish")
    setup.press("step:line")
    assert setup.press("original").go == "original"
    original = OriginalPresenter(session)
    view = read_arc(original)
    assert "symmetric" not in {key.name for key in view.keys}
    assert view.sentences[0].startswith("Read from rim to rim")
    assert original.press("take").go == "setup"
    setup.view()
    rows = setup._check().job.document["shape"]["profile"]
    arc = RADIUS_MM - np.sqrt(RADIUS_MM**2 - 400**2)
    pole, rim = ([float(cell.removesuffix(" mm")) for cell in row] for row in (rows[0], rows[-1]))
    assert pole == [0.0, 0.0]
    assert rim == pytest.approx([400.0, arc], abs=0.1)


def test_an_outline_comes_as_arcs_and_straights(session):
    setup = SetupPresenter(session)
    setup.press("choose:kind=flange")
    setup.press("step:line")
    setup.press("original")
    original = OriginalPresenter(session)
    assert "plate at your left hand" in read_arc(original).sentences[0]
    original.press("take")
    setup.view()
    ((length, radius),) = setup._check().job.document["outline"]["segments"]
    length, radius = (float(cell.removesuffix(" mm")) for cell in (length, radius))
    assert length == pytest.approx(2 * RADIUS_MM * np.arcsin(400 / RADIUS_MM), abs=0.3)
    assert radius == pytest.approx(-RADIUS_MM, rel=0.02)


def test_two_dishes_are_laid_side_by_side(session, original):
    session.line_part = "shape"
    two_read(original, 2.0)
    both = OriginalsPresenter(session)
    depths = []
    for way in WAYS:
        both.press(f"follow:{way}")
        both.press("take")
        depths.append(session.line_taken["profile_mm"][-1][1])
    arc = RADIUS_MM - np.sqrt(RADIUS_MM**2 - 400**2)
    assert depths == pytest.approx([arc, arc + 2.0, arc + 1.0], abs=0.15)
