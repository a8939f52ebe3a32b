"""Constants of torsion against handbook forms and Saint-Venant's problem solved by finite elements; the free
end against the plate's energy made least on a grid."""

import numpy as np
import pytest
from scipy.sparse import csr_matrix
from scipy.sparse.linalg import spsolve

from core.geometry.section_shapes import section_from
from core.geometry.sectorial import CORNER, patch_integral, sectorial
from core.geometry.stroke import stroke_effect
from core.geometry.wall_bending import end_layer

ANGLE = section_from(shape="angle", worked=40, other=40, thickness=1.5)
CHANNEL = section_from(shape="channel", web=60, flange=30, thickness=1.5, worked="one")
ZED = section_from(shape="Z", web=50, flange=30, thickness=1.5)


# --- handbook forms, middle line -------------------------------------------------------------------


@pytest.mark.parametrize(("t", "rel"), [(0.01, 2e-4), (1.5, 4e-3)])
def test_channel_sectorial_properties(t, rel):
    """Handbook, middle line h, b: shear centre 3 b^2/(6b + h) behind the web and
    Iw = t b^3 h^2 (3b + 2h)/(12 (6b + h)); exact as the wall gets thin.
    """
    sector = sectorial(section_from(shape="channel", web=60, flange=30, thickness=t, worked="one"))
    h, b = 60 - t, 30 - t / 2
    assert sector.shear_centre_mm == pytest.approx((t / 2 - 3 * b**2 / (6 * b + h), 30), rel=rel)
    assert sector.iw_mm6 == pytest.approx(t * b**3 * h**2 * (3 * b + 2 * h) / (12 * (6 * b + h)), rel=rel)
    assert sector.j_mm4 == pytest.approx((h + 2 * b) * t**3 / 3)


@pytest.mark.parametrize(("t", "rel"), [(0.01, 2e-4), (1.5, 4e-3)])
def test_zed_sectorial_properties(t, rel):
    """Handbook, middle line: Iw = t b^3 h^2 (b + 2h)/(12 (2b + h)), shear centre at the centroid."""
    zed = section_from(shape="Z", web=50, flange=30, thickness=t)
    sector = sectorial(zed)
    h, b = 50 - t, 30 - t / 2
    assert sector.shear_centre_mm == pytest.approx((t / 2, 25))
    assert sector.iw_mm6 == pytest.approx(t * b**3 * h**2 * (b + 2 * h) / (12 * (2 * b + h)), rel=rel)


def test_zed_decay():
    assert sectorial(ZED).j_mm4 == pytest.approx(120.4, abs=0.05)
    assert stroke_effect(ZED, 20, 15).warping.decay_mm == pytest.approx(438, abs=0.5)


def test_walls_that_meet_in_one_point_warp_through_their_thickness_only():
    """Angle: Iw = t^3 (a^3 + b^3)/36 (Bleich, Buckling Strength of Metal Structures, from memory; legs to the
    middle line); its twist fades within the leg and is left out."""
    sector = sectorial(ANGLE)
    assert sector.iw_mm6 == pytest.approx(1.5**3 * 2 * 39.25**3 / 36, rel=2e-3)
    assert sector.shear_centre_mm == pytest.approx((0.75, 0.75), abs=0.02)
    for section in (ANGLE, section_from(shape="T", depth=40, flange=30, thickness=2)):
        assert stroke_effect(section, 20, 15).warping is None


# --- Saint-Venant's torsion by finite elements ------------------------------------------------------


def saint_venant(inside, cell):
    """Warping function about the origin at unit twist rate on a set of square cells, bilinear elements.

    inside : (p, q) cells that are metal, the first index along y; cell : side, mm. Returns the nodes' y, z
    and warping, and the four node numbers of each cell.
    """
    i, j = np.nonzero(inside)
    number = -np.ones((inside.shape[0] + 1, inside.shape[1] + 1), dtype=int)
    corners = [(0, 0), (0, 1), (1, 0), (1, 1)]
    for a, b in corners:
        number[i + a, j + b] = 0
    number[number == 0] = np.arange((number == 0).sum())
    cells = np.stack([number[i + a, j + b] for a, b in corners], axis=1)
    p, q = np.nonzero(number >= 0)
    y, z = np.empty(len(p)), np.empty(len(p))
    y[number[p, q]], z[number[p, q]] = p * cell, q * cell
    stiffness = np.array([[4, -1, -1, -2], [-1, 4, -2, -1], [-1, -2, 4, -1], [-2, -1, -1, 4]]) / 6
    matrix = csr_matrix(
        (np.tile(stiffness.ravel(), len(i)), (np.repeat(cells, 4, axis=1).ravel(), np.tile(cells, 4).ravel()))
    )
    # Integral of N_y z - N_z y over a cell, exact for bilinear N.
    load = np.zeros(len(y))
    middle_y, middle_z = (i + 0.5) * cell, (j + 0.5) * cell
    for k, (a, b) in enumerate(corners):
        along_y = (2 * a - 1) * (cell / 2 * middle_z + (2 * b - 1) * cell**2 / 12)
        along_z = (2 * b - 1) * (cell / 2 * middle_y + (2 * a - 1) * cell**2 / 12)
        np.add.at(load, cells[:, k], along_y - along_z)
    warp = np.zeros(len(y))
    warp[1:] = spsolve(matrix[1:, 1:].tocsc(), load[1:])
    return y, z, warp, cells


def test_the_warping_cuts_the_corner():
    """One leg against the other, on the middle lines 2.25 thicknesses from the corner, pole at the corner."""
    offset = []
    for n in (8, 16):
        inside = np.zeros((5 * n, 5 * n), dtype=bool)
        inside[:n] = inside[:, :n] = True
        y, z, warp, _ = saint_venant(inside, 1 / n)
        warp = warp + 0.5 * z - 0.5 * y  # pole moved to the corner of the middle lines
        on = lambda a, b: warp[np.isclose(y, a) & np.isclose(z, b)][0]  # noqa: B023, E731
        offset.append(on(2.75, 0.5) - on(0.5, 2.75))
    # The re-entrant corner makes the error fall as h^(4/3).
    assert offset[1] + (offset[1] - offset[0]) / (2 ** (4 / 3) - 1) == pytest.approx(CORNER, abs=0.002)


def test_sectorial_properties_of_a_thick_channel():
    """Wall a tenth of the flange: shear centre by Trefftz (warping free of moment), Iw, patch integral."""
    t, n = 3.0, 8
    section = section_from(shape="channel", web=42, flange=30, thickness=t, worked="one")
    inside = np.zeros((10 * n, 14 * n), dtype=bool)
    inside[:n] = inside[:, :n] = inside[:, -n:] = True
    y, z, warp, cells = saint_venant(inside, t / n)
    consistent = np.array([[4, 2, 2, 1], [2, 4, 1, 2], [2, 1, 4, 2], [1, 2, 2, 4]]) / 36 * (t / n) ** 2
    integral = lambda f, g: float(np.einsum("ci,ij,cj->", f[cells], consistent, g[cells]))  # noqa: E731
    one = np.ones(len(y))
    area = integral(one, one)
    y, z, warp = (f - integral(f, one) / area for f in (y, z, warp))
    left = [integral(warp, y), integral(warp, z)]
    moments = [[-integral(z, y), integral(y, y)], [-integral(z, z), integral(y, z)]]
    a, b = np.linalg.solve(moments, left)  # pole (a, b): warping - b y + a z
    warp = warp - b * y + a * z
    sector = sectorial(section)
    assert sector.shear_centre_mm == pytest.approx((a, b), rel=2e-3)
    assert sector.iw_mm6 == pytest.approx(integral(warp, warp), rel=2e-3)
    edge = (y[cells].mean(axis=1) > y.max() - 15) & (z[cells].mean(axis=1) < z.min() + t)
    patch = warp[cells[edge]].mean(axis=1).sum() * (t / n) ** 2
    assert abs(patch_integral(section, sector, 15)) == pytest.approx(abs(patch), rel=2e-3)


# --- the free end -----------------------------------------------------------------------------------


def cubics(u, length):
    """Values, slopes and curvatures of the four beam cubics at share u."""
    rows = [[1, 0, -3, 2], [0, length, -2 * length, length], [0, 0, 3, -2], [0, 0, -length, length]]
    beams = [np.polynomial.Polynomial(row) for row in rows]
    return tuple(np.array([p.deriv(k)(u) if k else p(u) for p in beams]) / length**k for k in (0, 1, 2))


def test_the_free_end_has_the_least_energy():
    """Half a web and one flange of the channel, the twist being the same way in both flanges, as bicubic
    plate elements (5 mm along, two across each wall): least energy against the sum of fading exponentials."""
    nu, b, h, step, count = 0.33, 29.25, 58.5, 5.0, 40
    # across: web from mid-height, where by antisymmetry it does not deflect, to the corner; flange in two
    walls = [(h / 2, [None, 0, None, 1]), (b / 2, [None, 1, 2, 3]), (b / 2, [2, 3, 4, 5])]
    size = 6
    total = np.zeros((2 * size * (count + 1),) * 2)
    pull = np.zeros(len(total))
    points, weights = np.polynomial.legendre.leggauss(5)
    for width, picks in walls:
        keep = [k for k, p in enumerate(picks) if p is not None]
        for u, wu in zip(0.5 * (points + 1), weights / 2, strict=True):
            for v, wv in zip(0.5 * (points + 1), weights / 2, strict=True):
                s0, s1, s2 = (f[keep] for f in cubics(u, width))
                x0, x1, x2 = cubics(v, step)
                xx, ss, xs = np.outer(x2, s0).ravel(), np.outer(x0, s2).ravel(), np.outer(x1, s1).ravel()
                w = wu * wv * width * step
                own = w * (
                    np.outer(xx, xx)
                    + np.outer(ss, ss)
                    + nu * (np.outer(xx, ss) + np.outer(ss, xx))
                    + 2 * (1 - nu) * np.outer(xs, xs)
                )
                for e in range(count):
                    at = [2 * size * e + size * k + picks[p] for k in range(4) for p in keep]
                    total[np.ix_(at, at)] += own
                    pull[at] -= w * 2 * (1 - nu) * xs
    held = slice(0, 2 * size * count)  # the far end stays twisted with the section
    turned = np.linalg.solve(total[held, held], pull[held])
    layer = end_layer(CHANNEL, sectorial(CHANNEL).j_mm4, nu)
    for node in range(0, 12, 2):
        assert layer.corner_turn(node * step) == pytest.approx(
            turned[2 * size * node + 1], rel=0.03, abs=0.05
        )
    # Work of the pull by D over G J, both flanges: what the bar is shorter by.
    reach = 2 * (pull[held] @ turned) * 1.5**3 / (6 * (1 - nu)) / sectorial(CHANNEL).j_mm4
    assert layer.reach_mm == pytest.approx(reach, rel=0.02)
    assert 10 < layer.reach_mm < 15 and layer.missing(200.0) < 1e-2
