"""The document of a flange: what it takes, what it refuses with which words, what it warns of."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from tests.made_up import OUTLINES, flange, rib


@pytest.mark.parametrize(
    ("changes", "field", "wanted"),
    [
        ({"outline": ...}, "outline", "has to be given"),
        ({"outline": {}}, "outline", "segments, or the diameter"),
        ({"outline": {"rim": "600 mm", "hole": "200 mm"}}, "outline.hole", "not both"),
        ({"outline": {"hol": "600 mm"}}, "outline.hol", "is 'hole' meant?"),
        ({"outline": {"rim": 600}}, "outline.rim", "600 mm"),
        ({"outline": {"hole": "40 mm"}}, "outline.hole", "more than 40.00 mm"),
        ({"outline": {"rim": "40 mm"}}, "outline.rim", "more than 40.00 mm"),
        ({"outline": {"segments": [["400 mm"]]}}, "outline.segments[0]", "list of two"),
        ({"outline": {"segments": [["400 mm", "-20 mm"]]}}, "outline.segments[0][1]", "more than the height"),
        ({"outline": {"segments": [["400 mm", "0 mm"]]}}, "outline.segments[0][1]", "20.00 mm, and"),
        ({"outline": {"segments": [["700 mm", "100 mm"]]}}, "outline.segments[0][0]", "full turn"),
        (
            {"outline": {"segments": [["400 mm", None], ["9 mm", None]]}},
            "outline.segments",
            "half the tool's",
        ),
        ({"outline": {"rim": "600 mm", "side": "up"}}, "outline.side", "no such field"),
        ({"height": "4 mm"}, "height", "more than 4.50 mm"),
        ({"height": "14 mm"}, "height", "15.00 mm"),
        ({"angle": "95 deg"}, "angle", "90.0°"),
        ({"angle": "4 deg"}, "angle", "5.0°"),
        ({"angle": 90}, "angle", "90 deg"),
        ({"start_angle": "90 deg"}, "start_angle", "less than the angle"),
        ({"start_angle": "2 deg"}, "start_angle", "from 5.0°"),
        ({"fold_per_stroke": "0 deg"}, "fold_per_stroke", "more than 0.0°"),
        ({"k_factor": 0.7}, "k_factor", "at most 0.6"),
        ({"thickness": "0 mm"}, "thickness", "more than"),
        ({"inside_radius": ...}, "inside_radius", "has to be given"),
        ({"pitch": "5 mm"}, "pitch", "half the tool's patch"),
        ({"pitch": "900 mm"}, "pitch", "3 sectors"),
        ({"line": {"radius": "300 mm"}}, "line", "no such field"),
        ({"template": "inside"}, "template", "one of square"),
        ({"template": {"sweep": "100 mm"}}, "template", "one of square"),
    ],
)
def test_what_cannot_be_used_is_named(changes: dict[str, Any], field: str, wanted: str) -> None:
    with pytest.raises(core.InputError) as refused:
        core.job(flange(**changes))
    assert refused.value.field == field
    assert wanted in str(refused.value)


def test_a_bar_is_not_read_with_the_square() -> None:
    with pytest.raises(core.InputError, match="one of inside, outside, layout line, sweep is wanted"):
        core.job(rib(template="square"))


def test_an_event_with_another_template_is_refused() -> None:
    job = core.job(flange(outline=OUTLINES["straight"]))
    with pytest.raises(core.InputError) as refused:
        core.refit(job, [core.gaps_read([1.0] * 15, template="layout line")])
    assert refused.value.field == "events[0].template"


def test_there_is_no_trial_on_an_offcut_of_a_plate() -> None:
    with pytest.raises(core.InputError, match="whose edge bends under its strokes"):
        core.trial_plan(core.job(flange()), "shrink", "medium")


def test_there_is_no_bow_of_a_plate_to_be_read() -> None:
    job = core.job(flange(outline=OUTLINES["straight"]))
    with pytest.raises(core.InputError, match="no bow"):
        core.refit(job, [core.bow_read(1.0)])


def test_lengths_may_be_bare_where_the_name_says_their_unit() -> None:
    plain = core.job(flange(outline={"segments_mm": [[400, 300], [200, None]]})).part
    told = core.job(flange(outline={"segments": [["40 cm", "0.3 m"], ["200 mm", None]]})).part
    assert plain.target.tolist() == told.target.tolist()
    assert core.job(flange(outline={"rim_mm": 600})).part.length_mm == pytest.approx(600 * np.pi)


def test_what_is_left_out() -> None:
    """Tipped so far that strokes turn it (sin a = R t/(2 h^2) = 0.5625, 34.2 degrees), but by 10 degrees or
    half of a small angle; 2 degrees a stroke; K of aircraft work."""
    bend = core.job(flange()).part.bend
    assert np.degrees(bend.start_rad) == pytest.approx(35.0)
    assert bend.neutral == pytest.approx(0.447, abs=5e-4)
    tight = {"outline": {"hole": "80 mm"}}
    assert np.degrees(core.job(flange(**tight)).part.bend.start_rad) == pytest.approx(10.0)
    assert np.degrees(core.job(flange(**tight, angle="16 deg")).part.bend.start_rad) == pytest.approx(8.0)
    nearly = core.job(flange(angle="34.5 deg")).part  # 34.2 degrees are wanted, 35 would be too many
    assert 34.2 < np.degrees(nearly.bend.start_rad) < 34.5 and not nearly.folded.any()
    folded = core.job(flange(outline=OUTLINES["straight"])).part
    assert np.degrees(folded.fold_per_strain_rad * 0.004) == pytest.approx(2.0)


def test_what_the_operator_should_know_beforehand() -> None:
    blank, strain, tip = core.job(flange()).warnings[:3]
    assert "16.77 mm beyond the outline: cut it to a diameter of 633.5 mm" in blank
    assert strain == "At 90.0° the edge is 5.3 % shorter than on the flat plate."  # 600/633.53
    assert tip.startswith("The edge is tipped to 35.0° before the first pass: below about 34°")
    slow = core.job(flange(start_angle="20 deg")).warnings[2]
    assert "20.0° before the first pass. Below about 34°" in slow  # sin a = R t/(2 h^2) = 0.5625
    said = " ".join(core.job(flange(outline=OUTLINES["mixed"])).warnings)
    assert "At sectors 11 to 15 the outline is straight, or its radius more than 533.3 mm" in said
    assert "diameter" not in said
    assert "the edge is at most 5.3 % shorter and 9.1 % longer" in said  # 300/316.77, 200/183.23
    warm = core.job(flange(start_angle="40 deg")).warnings
    assert not any("Below about" in sentence for sentence in warm)
