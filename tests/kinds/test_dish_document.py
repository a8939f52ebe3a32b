"""Documents of dishes: every form, and what cannot be used is named with what would be right."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.errors import InputError
from tests.made_up import SHAPES, bowl


@pytest.mark.parametrize("shape", SHAPES)
def test_every_form_of_the_shape_is_read(shape):
    job = core.job(bowl(shape=SHAPES[shape]))
    assert len(job.part.sites) >= 5
    assert job.part.target.max() > 0.01
    assert core.job(job.document).part.target == pytest.approx(job.part.target)


def test_the_pitch_counts_from_the_rim():
    part = core.job(bowl()).part
    radius = part.rings_mm[-1]
    assert part.rings_mm[0] == 0.0 and part.rings_mm[-1] == pytest.approx(radius)
    np.testing.assert_allclose(np.diff(part.rings_mm)[1:], 25.0)
    assert 25.0 <= part.rings_mm[1] < 50.0


def test_circles_on_the_disc_lie_between_rings():
    part = core.job(bowl(pitch=..., rings=["60 mm", "11 cm", "150 mm"])).part
    np.testing.assert_allclose(part.rings_mm, [0.0, 60.0, 110.0, 150.0, part.rings_mm[-1]])
    np.testing.assert_allclose(part.sites.position_mm[:2], [30.0, 85.0])


def test_a_straight_flange_lengthens_the_dished_end():
    plain, flanged = (
        core.job(bowl(shape={**SHAPES["dished end"], **more})).part for more in ({}, {"straight": "20 mm"})
    )
    assert flanged.length_mm == pytest.approx(plain.length_mm + 20.0)


def test_what_looks_odd_in_a_profile_is_said():
    points = [[15 * i, round((15 * i) ** 2 / 600, 1)] for i in range(12)]
    points[6][1] += 5.0
    assert any("oint 7 " in sentence for sentence in core.job(bowl(shape={"profile_mm": points})).warnings)


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"shape": ...}, "shape", "has to be given"),
        ({"shape": {}}, "shape", "radius with depth or angle"),
        ({"shape": {"radios": "1 m", "depth": "1 cm"}}, "shape.radios", "is 'radius' meant?"),
        ({"shape": {"radius": "300 mm"}}, "shape.depth", "'angle' has to be given"),
        ({"shape": {"radius": "300 mm", "depth": "301 mm"}}, "shape.depth", "'301 mm' cannot be used"),
        ({"shape": {"radius_mm": 300, "depth_mm": 301}}, "shape.depth_mm", "at most the radius, 300 mm"),
        ({"shape": {"radius": "300 mm", "angle": "91 deg"}}, "shape.angle", "at most 90"),
        ({"shape": {"radius": "300", "depth": "60 mm"}}, "shape.radius", "unit"),
        ({"shape": {"diameter": "200 mm", "depth": "101 mm"}}, "shape.depth", "half the diameter, 100 mm"),
        ({"shape": {"radius": "1 m", "profile_mm": [[0, 0]]}}, "shape.profile_mm", "not both"),
        (
            {"shape": {"crown_radius": "150 mm", "knuckle_radius": "60 mm", "diameter": "400 mm"}},
            "shape.crown_radius",
            "at least half the diameter, 200 mm",
        ),
        (
            {"shape": {"crown_radius": "400 mm", "knuckle_radius": "2 mm", "diameter": "400 mm"}},
            "shape.crown_radius",
            "at least 2 times the thickness, 3.00 mm",
        ),
        ({"shape": {"profile_mm": [[5, 0], [100, 10], [200, 40]]}}, "shape.profile_mm[0]", "r = 0"),
        ({"shape": {"profile_mm": [[0, 0], [100], [200, 40]]}}, "shape.profile_mm[1]", "r and z"),
        (
            {"shape": {"profile_mm": [[0, 0], [100, 20], [200, 90], [195, 150]]}},
            "shape.profile_mm",
            "nowhere leans over",
        ),
        (
            {"shape": {"profile_mm": [[0, 0], [60, -4.5], [120, -19], [200, -64]]}},
            "shape.profile_mm[3]",
            "heights z rise from the middle to the rim",
        ),
        (
            {"shape": {"traced_mm": [[20 * i, -i * i] for i in range(9)], "tracing_sd": "0.3 mm"}},
            "shape.traced_mm[8]",
            "heights z rise from the middle to the rim",
        ),
        ({"template": {"sweep": "100 mm"}}, "template", "neither how deep the dish is nor what its rim does"),
        ({"shape": {"traced_mm": [[i, i * i] for i in range(9)]}}, "shape.tracing_sd", "'0.3 mm'"),
        ({"shape": {"radius": "40 m", "depth": "0.1 mm"}}, "shape", "a deeper one"),
        ({"shape": {"radius": "300 mm", "depth": "60 mm", "deep": 1}}, "shape.deep", "is 'depth' meant?"),
        ({"method": "shrink the rim"}, "method", "is 'shrink the edge' meant?"),
        ({"thickness": ...}, "thickness", "has to be given"),
        ({"thickness": "0 mm"}, "thickness", "more than 0"),
        ({"pitch": ...}, "pitch", "'rings' has to be given"),
        (
            {"pitch": "10 mm"},
            "pitch",
            "from 15.00 mm, no less than the tool's patch is deep, to 64.35 mm, 3 rings",
        ),
        ({"pitch": "70 mm"}, "pitch", "3 rings on the disc of 386"),
        ({"rings_mm": [50, 100]}, "rings_mm", "'pitch' is given too"),
        ({"pitch": ..., "rings_mm": [50]}, "rings_mm", "2 to 59 circles"),
        ({"pitch": ..., "rings_mm": [10, 100]}, "rings_mm[0]", "15.00 mm, beyond the middle"),
        ({"pitch": ..., "rings_mm": [50, 60]}, "rings_mm[1]", "beyond the circle before it"),
        ({"pitch": ..., "rings_mm": [50, 185]}, "rings_mm[1]", "inside the disc's own edge, 193"),
        ({"line": {"radius": "1 m"}}, "line", "no such field"),
    ],
)
def test_what_cannot_be_used_is_named_with_what_would_be_right(changes, field, says):
    with pytest.raises(InputError) as caught:
        core.job(bowl(**changes))
    assert caught.value.field == field
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
