"""Jobs from their documents. Lengths are checked against plain circle geometry: arc length = R angle,
R = c^2/(8 h) + h/2 (segment of a circle, any engineering handbook)."""

import json
import math
from dataclasses import fields as fields_of

import numpy as np
import pytest

from core.dimensions import registry
from core.errors import InputError
from core.jobdoc import RESPONSE_MOST, job
from core.jobfields import MissingField
from core.jobtypes import ResponsePrior
from tests.made_up import LINES, RIB, SECTIONS, rib


def refused(document) -> InputError:
    with pytest.raises(InputError) as caught:
        job(document)
    return caught.value


def test_the_rib_of_the_dome():
    made = job(RIB)
    assert made.name == "Shutter rib 3"
    np.testing.assert_allclose(made.part.sites.position_mm, 20.0 + 40.0 * np.arange(30))
    np.testing.assert_allclose(made.part.sites.width_mm, 40.0)
    # Heading change over the whole arc is length / radius.
    assert made.part.target.sum() == pytest.approx(1200.0 / 1500.0)
    assert (made.tool.patch_length_mm, made.tool.patch_depth_mm) == (20.0, 15.0)
    assert dict(made.tool.bites) == {"light": 0.4, "medium": 1.0, "heavy": 1.8}
    assert (made.tolerance_mm, made.template.name, made.gauge.name) == (0.5, "inside", "feeler leaves")
    assert (made.confidence, made.overshoot_risk) == (0.95, 0.05)
    assert made.warnings == ()
    assert made.document == RIB


def test_json_text_makes_the_same_job():
    assert job(json.dumps(RIB)).document == RIB
    assert job(json.dumps(RIB).encode("utf-8-sig")).document == RIB


@pytest.mark.parametrize(
    ("form", "length_mm"),
    [
        ("radius and length", 1200.0),
        ("radius and angle", 1500.0 * math.radians(46.0)),
        ("chord and rise", 4.0 * math.atan(2 * 60 / 1000) * (1000**2 / (8 * 60) + 60 / 2)),
        ("segments", 1000.0),
        # Circle of R 1500 through the printed points: length R asin(600/1500); points are rounded to 0.1 mm.
        ("offsets", 1500.0 * math.asin(600 / 1500)),
    ],
)
def test_every_form_of_the_line(form, length_mm):
    made = job(rib(line=LINES[form], pitch=...) | {"stations_mm": [50, 250, 450]})
    assert made.part.length_mm == pytest.approx(length_mm, rel=1e-4)


def test_traced_points_are_smoothed_and_say_so():
    made = job(rib(line=LINES["traced"]))
    assert 0.0 < made.part.line.smoothing_sd_mm < 0.3
    # Arc of the parabola y = x^2 / (2 R) up to x: R/2 (u sqrt(1 + u^2) + asinh u), u = x / R (any table of
    # integrals); the points were made up on it, 0.1 mm off to either side.
    u = 600.0 / 1500.0
    parabola = 750.0 * (u * math.sqrt(1.0 + u * u) + math.asinh(u))
    assert made.part.length_mm == pytest.approx(parabola, abs=0.5)


@pytest.mark.parametrize("shape", SECTIONS)
def test_every_shape_of_section(shape):
    made = job(rib(section=SECTIONS[shape], tool__patch_depth="12 mm"))
    # A stroke that shortens the worked edge closes the curve, whatever the shape.
    assert np.all(made.part.work_per_strain() > 0.0)


def test_an_s_shape_wants_work_of_both_signs():
    target = job(rib(line=LINES["segments"])).part.target
    assert target[0] > 0.0 > target[-1]


def test_units_do_not_matter():
    inches = rib(
        line={"radius": f"{1500 / 25.4!r} in", "length": "1.2 m"},
        pitch=...,
        tool__patch_length=registry().Quantity(2.0, "cm"),
    )
    inches["pitch_mm"] = 40
    np.testing.assert_allclose(job(inches).part.target, job(RIB).part.target, rtol=1e-12)


def test_what_the_pitch_leaves_over_lies_half_at_each_end():
    made = job(rib(pitch="70 mm"))
    np.testing.assert_allclose(made.part.sites.position_mm[[0, -1]], [40.0, 1160.0])
    np.testing.assert_allclose(made.part.sites.width_mm.sum(), 1200.0)
    assert "left over at each end" in made.warnings[0]


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"raduis": 1}, "raduis", "there is no such field"),
        ({"line__radius": ..., "line__raduis": "1500 mm"}, "line.raduis", "is 'radius' meant?"),
        ({"section__thicknes": "1 mm"}, "section.thicknes", "is 'thickness' meant?"),
        ({"line__radius": 1500}, "line.radius", "write it with its unit, such as '1500 mm'"),
        ({"line__radius": "30 mm"}, "line.radius", "more than the worked flange, 40.00 mm"),
        ({"line__radius": "0 mm"}, "line.radius", "more than the worked flange"),
        ({"line__radius": "1500 m"}, "line.radius", "at most 1000 m"),
        ({"line__length": "12 m"}, "line.length", "at most 9424.8 mm"),  # 2 pi 1500
        ({"line__angle": "46 deg"}, "line.angle", "'length' is given too"),
        ({"line": {"radius": "1500 mm", "angle": 46}}, "line.angle", "such as '46 deg'"),
        ({"line": {"radius": "1500 mm", "angle": "46 rad"}}, "line.angle", "at most 360.0°"),
        ({"line__length": ...}, "line.length", "this or 'angle' has to be given"),
        ({"line": {}}, "line", "radius with length or angle"),
        ({"line": {"chord": "1 m", "rise": "6 m"}}, "line.rise", "at most half the chord"),
        ({"line": {"chord": "1 m", "radius": "6 m"}}, "line.chord", "not both"),
        ({"line": {"segments": [[400, "1500 mm"]]}}, "line.segments[0][0]", "'400 mm'"),
        ({"line": {"segments_mm": [[400, 15]]}}, "line.segments_mm[0][1]", "worked flange"),
        ({"line": {"segments_mm": [[400]]}}, "line.segments_mm[0]", "null for a straight"),
        ({"line": {"segments_mm": []}}, "line.segments_mm", "entries are wanted, there are 0"),
        ({"line": {"offsets_mm": [[0, 0], [9, "a"]]}}, "line.offsets_mm[1][1]", "a length"),
        (
            {"line": {"offsets_mm": [[0, 0], [0, 0], [9, 1]]}},
            "line.offsets_mm[1]",
            "other than the one before",
        ),
        ({"line": {"offsets_mm": [[0, 0], [40, 30], [80, 0]]}}, "line.offsets_mm", "worked flange"),
        ({"line": {"traced_mm": [[0, 0], [40, 30]]}}, "line.tracing_sd", "such as '0.3 mm'"),
        ({"section__thickness": "-1.5 mm"}, "section.thickness", "more than 0.00 mm"),
        ({"section__thickness": "20 mm"}, "section.thickness", "less than 20.00 mm, half of the widest size"),
        ({"section__other": "2.9 mm"}, "section.other", "more than 3.00 mm, twice the thickness"),
        ({"section__shape": "angel"}, "section.shape", "is 'angle' meant?"),
        ({"section__other": ...}, "section.other", "has to be given"),
        ({"section": "angle"}, "section", "an object with named fields"),
        ({"pitch": "2 m"}, "pitch", "to 400.0 mm, 3 stations"),
        (
            {"line": {"radius": "500 mm", "length": "26 mm"}},
            "pitch",
            "the bar of 26.00 mm is too short for 3 stations half the tool's patch, 10.00 mm, apart",
        ),
        ({"pitch": "5 mm"}, "pitch", "from 10.00 mm, half the tool's patch"),
        ({"pitch": ...}, "pitch", "this or 'stations' has to be given"),
        ({"stations_mm": [20, 60]}, "stations_mm", "'pitch' is given too"),
        ({"pitch": ..., "stations_mm": [60, 20, 99]}, "stations_mm[1]", "beyond the station before"),
        ({"pitch": ..., "stations_mm": [60, 90, 1300]}, "stations_mm[2]", "to 1195.0 mm"),
        ({"pitch": ..., "stations_mm": [0, 90, 130]}, "stations_mm[0]", "from 5.00 mm"),
        ({"pitch": ..., "stations_mm": [20, 60]}, "stations_mm", "3 to 1000"),
        ({"pitch": ..., "stations": [20, 60, 90]}, "stations[0]", "'20 mm'"),
        ({"tolerance": "0,5"}, "tolerance", "write it with its unit"),
        ({"tolerance": None}, "tolerance", "has to be given"),
        ({"tolerance": "-1 mm"}, "tolerance", "more than 0.00 mm"),
        ({"kind": "bowl"}, "kind", "one of section, flange, dish is wanted"),
        ({"name": "  "}, "name", "a text on one line"),
        ({"name": "rib\x1b[2J"}, "name", "a text on one line"),
        ({"material": "aluminium 5754"}, "material", "is 'aluminium 5754-O' meant?"),
        ({"material": {"name": "x", "E": 70, "poisson": 0.3}}, "material.E", "'70 GPa'"),
        ({"material": {"name": "x", "E": "7 MPa", "poisson": 0.3}}, "material.E", "between 1 and 1000 GPa"),
        ({"material": {"name": "x", "E": "70 GPa"}}, "material.poisson", "has to be given"),
        ({"tool__patch_depth": "50 mm"}, "tool.patch_depth", "at most the worked flange, 40.00 mm"),
        ({"tool__strain_per_stroke": 0.4}, "tool.strain_per_stroke", "at most 0.1"),
        ({"tool__bites": {}}, "tool.bites", "names with strengths"),
        ({"tool__bites": {"a": 1, "b": 1.0}}, "tool.bites", "a different strength for every bite"),
        ({"tool__bites": {"a": -1}}, "tool.bites.a", "more than 0"),
        ({"template": "insde"}, "template", "is 'inside' meant?"),
        ({"template": {"sweep": "2 m"}}, "template.sweep", "less than the length of the bar"),
        ({"gauge": "ruler"}, "gauge", "one of feeler leaves"),
        ({"gauge": {"name": "own", "step": "0.1 mm"}}, "gauge.repeatability", "has to be given"),
        ({"gauge": {"name": "steel rule", "largest": "0.2 mm"}}, "gauge.largest", "one step of the gauge"),
        (
            {"limits": {"strain_per_pass": 0.2, "strain_total": 0.1}},
            "limits.strain_per_pass",
            "at most the limit",
        ),
        ({"response": {"commonsd": 1}}, "response.commonsd", "is 'common_sd' meant?"),
        ({"response": {"scale": {"shrink": {"mild": 1}}}}, "response.scale.shrink.mild", "no such field"),
        ({"confidence": 95}, "confidence", "at most 0.9999"),
        ({"overshoot_risk": 0}, "overshoot_risk", "more than 0"),
        ({"line__radius": float("nan")}, "line.radius", "a finite number"),
        ({"name": object()}, "name", "text, numbers, lists"),
    ],
)
def test_what_cannot_be_used_is_named_with_what_would_be_right(changes, field, says):
    error = refused(rib(**changes))
    assert error.field == field
    assert says in str(error)
    assert str(error).startswith(f"{field}: ")
    assert "\n" not in str(error)


def test_a_missing_field_does_not_quote_nothing():
    error = refused(rib(tolerance=...))
    assert isinstance(error, MissingField)
    assert str(error) == "tolerance: this has to be given"


@pytest.mark.parametrize("mistyped", [3.0, 300.0])
def test_a_mistyped_offset_is_pointed_at(mistyped):
    """30.0 on the drawing: with a digit lost the line can be used, with one too many it folds back."""
    points = [[75 * i, round((75 * i) ** 2 / 3000, 1)] for i in range(9)]
    points[4][1] = mistyped
    document = rib(line={"offsets_mm": points})
    said = job(document).warnings if mistyped < 30.0 else [str(refused(document))]
    assert any("point 5" in sentence.lower() and f"{mistyped:g}" in sentence for sentence in said)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"tolerance": "0.02 mm"}, "finer than one step with feeler leaves"),
        ({"tolerance": "0.1 mm"}, "less than what gauge and template are off by themselves"),
        ({"tolerance": "6 mm"}, "go only to 5.00 mm"),
        ({"pitch": "15 mm"}, "strokes at neighbours overlap"),
        ({"tool__strain_per_stroke": 0.00004}, "0.004 % of strain, which is next to nothing"),
        ({"line__radius": "90 mm", "line__length": "250 mm"}, "in the whole job"),
    ],
)
def test_what_can_be_used_and_looks_wrong_is_said(changes, says):
    warnings = job(rib(**changes)).warnings
    assert len([sentence for sentence in warnings if says in sentence]) == 1


def test_own_gauge_template_and_metal():
    made = job(
        rib(
            gauge={"name": "steel rule", "step": "1 mm"},
            template={"sweep": "200 mm", "sd": "0.1 mm"},
            material={"name": "old copper", "E": "117 GPa", "poisson": 0.34, "density": "8.9 g/cm3"},
        )
    )
    assert (made.gauge.step_mm, made.gauge.repeatability_mm, made.gauge.largest_mm) == (1.0, 0.25, 500.0)
    assert (made.template.chord_mm, made.template.sd_mm, made.template.rigid) == (200.0, 0.1, False)
    assert (made.metal.name, made.metal.e_mpa, made.metal.density_kg_m3) == ("old copper", 117e3, 8900.0)


def test_what_is_believed_of_the_response_can_be_given():
    made = job(
        rib(response={"common_sd": "5 %", "uneven_length": "0.5 m", "scale": {"shrink": {"medium": 1.2}}})
    )
    assert made.response.common_sd == pytest.approx(0.05)
    assert made.response.uneven_length_mm == 500.0
    assert made.response.scale == {("shrink", "medium"): 1.2}
    assert made.response.scatter == ResponsePrior.scatter


def test_what_is_known_exactly_has_no_spread():
    response = job(rib(response={"hardening": 0, "exponent_sd": "0 %"})).response
    assert (response.hardening, response.exponent_sd) == (0.0, 0.0)
    assert refused(rib(response={"exponent": 0})).field == "response.exponent"
    assert refused(rib(response={"scatter": -0.1})).field == "response.scatter"


def test_every_number_of_the_response_can_be_given():
    assert set(RESPONSE_MOST) | {"uneven_length_mm", "scale", "seen", "shared"} == {
        f.name for f in fields_of(ResponsePrior)
    }


def test_the_document_given_is_not_changed_and_not_shared():
    given = rib()
    made = job(given)
    given["line"]["radius"] = "900 mm"
    assert made.document["line"]["radius"] == "1500 mm"
