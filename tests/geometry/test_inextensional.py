"""Lobed modes of a dish: strains vanish, and Lord Rayleigh's closed form for a sphere.

Sources: Lord Rayleigh, Proc. London Math. Soc. 13 (1881) 4 (from memory; held here against the lengths on the
sphere itself), strains of a surface of revolution in any text on thin shells.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.geometry.inextensional import lobed_mode
from core.geometry.meridian import Meridian, spherical, through_profile, torispherical
from core.geometry.segments import from_segments

RADIUS = 300.0


def rayleigh(phi: np.ndarray, n: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Motion of a sphere outward (cos n theta), along the meridian (cos) and round it (sin)."""
    power = np.tan(phi / 2) ** n
    return (n + np.cos(phi)) * power, -np.sin(phi) * power, -np.sin(phi) * power


def placed(phi: np.ndarray, theta: np.ndarray, n: int, size: float) -> np.ndarray:
    """(..., 3) points of the sphere, hollow up, moved by so much of the mode."""
    w, u, v = (size * part for part in rayleigh(phi, n))
    w, u, v = w * np.cos(n * theta), u * np.cos(n * theta), v * np.sin(n * theta)
    r = RADIUS * np.sin(phi) + w * np.sin(phi) + u * np.cos(phi)
    z = -RADIUS * np.cos(phi) - w * np.cos(phi) + u * np.sin(phi)
    x, y = r * np.cos(theta) - v * np.sin(theta), r * np.sin(theta) + v * np.cos(theta)
    return np.stack([x, y, z], axis=-1)


@pytest.mark.parametrize("n", [2, 3])
def test_no_length_on_the_sphere_changes_in_rayleighs_mode(n):
    """Squares of short chords, any way on the surface, change with the square of the motion alone."""
    phi, theta = np.meshgrid(np.linspace(0.2, 1.4, 7), np.linspace(0.1, 3.0, 8))
    step = 1e-3
    for way in ((1, 0), (0, 1), (1, 1), (1, -1)):

        def chord(size: float, way: tuple[int, int] = way) -> np.ndarray:
            ahead, behind = (
                placed(phi + sign * step * way[0], theta + sign * step * way[1], n, size) for sign in (1, -1)
            )
            return np.linalg.norm(ahead - behind, axis=-1)

        changed = (chord(0.1) - chord(-0.1)) / (0.2 * chord(0.0))
        moved = np.linalg.norm(placed(phi, theta, n, 1.0) - placed(phi, theta, n, 0.0), axis=-1)
        assert np.all(np.abs(changed) < 1e-3 * moved / RADIUS)


@pytest.mark.parametrize("n", [2, 3])
@pytest.mark.parametrize("angle", [0.2, 0.65, 1.2, np.pi / 2])
def test_a_sphere_moves_as_rayleigh_has_it(angle, n):
    mode = lobed_mode(spherical(RADIUS, angle_rad=angle), n)
    phi = np.linspace(0.0, angle, 41)
    w, u, _ = rayleigh(phi, n)
    np.testing.assert_allclose(mode.outward_mm(phi / angle), w / w[-1], atol=2e-4)
    away, up = w[-1] * np.sin(angle) + u[-1] * np.cos(angle), -w[-1] * np.cos(angle) + u[-1] * np.sin(angle)
    assert mode.radial_mm == pytest.approx(away / w[-1], rel=1e-6)
    assert mode.axial_mm == pytest.approx(up / w[-1], rel=1e-6)


@pytest.mark.parametrize("n", [2, 3])
@pytest.mark.parametrize(
    "meridian",
    [
        torispherical(400.0, 60.0, 400.0),
        torispherical(400.0, 60.0, 400.0, 20.0),
        through_profile([[r, r**2 / 500.0] for r in range(0, 201, 20)]),
    ],
    ids=["dished end", "with a straight flange", "paraboloid"],
)
def test_the_shear_vanishes_where_the_other_strains_do(meridian, n):
    """From the outward motion alone: u' = -kappa w along the meridian, v by the hoop; then
    r v' - r' v = n u, or (v/r)' = n u/r^2, is left to be shown."""
    mode, length = lobed_mode(meridian, n), meridian.length_mm
    s = np.linspace(0.0, length, 40001)
    w, phi, r = mode.outward_mm(s / length), meridian.slope_rad(s), meridian.points_mm(s)[:, 0]
    middle = 0.5 * (s[1:] + s[:-1])
    bent = meridian.curvature_per_mm(middle) * mode.outward_mm(middle / length)
    u = np.concatenate([[0.0], -np.cumsum(bent * np.diff(s))])
    v = -(u * np.cos(phi) + w * np.sin(phi)) / n
    turning = n * u[1:] / r[1:] ** 2
    turned = np.cumsum(0.5 * (turning[1:] + turning[:-1]) * np.diff(s[1:]))
    shown = (v / np.maximum(r, 1e-9))[2:] - (v / np.maximum(r, 1e-9))[1]
    assert np.abs(turned - shown).max() < 2e-3 * np.abs(shown).max()
    assert mode.outward_mm(np.array([1.0]))[0] == pytest.approx(1.0)
    assert mode.radial_mm == pytest.approx(-n * v[-1], rel=1e-3)


def test_a_level_middle_moves_like_a_shallow_cap():
    """Flat sheet bends any way; the least bent of it with n lobes is s^n."""
    mode = lobed_mode(Meridian(from_segments([(80.0, None), (150.0, 300.0)])), 2)
    share = np.array([0.05, 0.1, 0.2, 0.3])
    shown = mode.outward_mm(share) / share**2
    assert np.all(shown > 0.0) and np.ptp(shown) < 0.02 * shown[0]
