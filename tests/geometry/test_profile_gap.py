"""Gaps along the normals of a target meridian: circles, for which the distance has a closed form."""

from __future__ import annotations

import numpy as np
import pytest

from core.geometry.meridian import spherical
from core.geometry.profile_gap import Profile


def sphere(radius, length, count=121):
    phi = np.linspace(0.0, length / radius, count)
    return radius * np.column_stack([np.sin(phi), 1.0 - np.cos(phi)])


def gap_to(nodes, meridian, s, lift=0.0):
    profile = Profile(nodes, np.zeros((*nodes.shape, 1)))
    return profile.gap(meridian.points_mm(s), meridian.slope_rad(s), s, lift)


@pytest.mark.parametrize("radius", [400.0, 305.0, 295.0, 250.0])
def test_from_a_sphere_to_another(radius):
    """The normal of the target runs through its own centre, a over the other's: the other is met at
    a cos(phi) + sqrt(radius^2 - a^2 sin^2(phi)) from there."""
    target = spherical(300.0, angle_rad=1.0)
    s = np.linspace(0.0, 230.0, 24)
    found, _, _ = gap_to(sphere(radius, 330.0), target, s)
    a, phi = radius - 300.0, s / 300.0
    expected = -a * np.cos(phi) + np.sqrt(radius**2 - (a * np.sin(phi)) ** 2) - 300.0
    np.testing.assert_allclose(found, expected, atol=2e-3)


def test_a_flat_disc_is_as_far_off_as_the_bowl_is_high():
    """To a plane the way along the normal is z/cos(phi); beyond the disc's rim it is straight on."""
    target = spherical(300.0, angle_rad=1.0)
    s = np.linspace(0.0, 300.0, 16)
    rho = np.linspace(0.0, 300.0, 101)
    found, _, _ = gap_to(np.column_stack([rho, 0.0 * rho]), target, s)
    phi = s / 300.0
    np.testing.assert_allclose(found, 300.0 * (1.0 - np.cos(phi)) / np.cos(phi), atol=1e-4)


def test_a_flat_disc_under_a_hemisphere_reads_something_finite():
    target = spherical(300.0, depth_mm=300.0)
    s = np.linspace(0.0, target.length_mm, 40)
    rho = np.linspace(0.0, target.length_mm, 101)
    found, _, _ = gap_to(np.column_stack([rho, 0.0 * rho]), target, s)
    assert np.all(np.diff(found) > -1e-6)
    assert found[-1] < 2 * 300.0


@pytest.mark.parametrize("lift", [-3.0, 0.0, 4.0])
def test_a_shift_outward_at_the_pole_opens_the_gap_there(lift):
    target = spherical(300.0, angle_rad=1.0)
    s = np.array([0.0, 100.0, 290.0])
    found, _, column = gap_to(sphere(300.0, 330.0), target, s, lift)
    assert found[0] == pytest.approx(lift, abs=1e-3)
    if lift == 0.0:
        np.testing.assert_allclose(column, np.cos(s / 300.0), atol=1e-4)


@pytest.mark.parametrize("length", [330.0, 200.0])
def test_slopes_by_a_change_of_radius(length):
    """Nodes that move as the sphere grows: the gap changes as that of the grown sphere; beyond the rim of a
    short one, as that of its tangent."""
    target, s, step = spherical(300.0, angle_rad=1.0), np.linspace(0.0, 290.0, 9), 1e-4
    shape = {grow: sphere(320.0 + grow, length) for grow in (-step, 0.0, step)}
    moves = (shape[step] - shape[-step])[:, :, None] / (2 * step)
    profile = Profile(shape[0.0], moves)
    _, slopes, _ = profile.gap(target.points_mm(s), target.slope_rad(s), s, 0.0)
    ahead, behind = (gap_to(shape[sign * step], target, s)[0] for sign in (1.0, -1.0))
    np.testing.assert_allclose(slopes[:, 0], (ahead - behind) / (2 * step), atol=1e-5)
