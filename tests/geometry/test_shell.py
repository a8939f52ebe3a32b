"""Rings of a dish: finite elements, closed forms, and Reissner's equations solved by SciPy."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import scipy.integrate
import scipy.linalg

from core.geometry.banded import BAND, PIECE, Banded, places
from core.geometry.blank import Blank
from core.geometry.disc_to_dish import RingedDisc, drawn, going_over, rim_share
from core.geometry.meridian import over_rim, spherical, torispherical
from core.geometry.revolved_shell import RevolvedShell, Strain, mesh
from core.geometry.shell_influence import ring_influence
from core.geometry.ways import AREA_KEPT, LENGTH_KEPT, RIM_KEPT

REFERENCE = Path(__file__).parent.parent / "reference"
R, T, NU = 300.0, 1.5, 0.33
BETA = (3.0 * (1.0 - NU**2)) ** 0.25 / np.sqrt(R * T)


def banded(matrix):
    """Every entry in two halves, which add up."""
    row, column = np.nonzero(np.abs(np.subtract.outer(*2 * [np.arange(len(matrix))])) <= BAND)
    at, halves = places(row, column, len(matrix)), 0.5 * matrix[row, column]
    return Banded.summed(np.concatenate([at, at]), np.concatenate([halves, halves]), len(matrix))


def test_banded_systems_against_scipy():
    rng = np.random.default_rng(1)
    for size in (1, 5, 24, 25, 103):
        lower = np.tril(np.triu(rng.normal(size=(size, size)), -5)) + 6 * np.eye(size)
        matrix, right = lower @ lower.T, rng.normal(size=(size, 3))
        expected = scipy.linalg.solve(matrix, right, assume_a="pos")
        found = banded(matrix)
        np.testing.assert_allclose(found.solve(right), expected, atol=1e-12)
        np.testing.assert_array_equal(found.diagonal, matrix.diagonal())
        expected = scipy.linalg.solve(matrix + 2.0 * np.eye(size), right, assume_a="pos")
        np.testing.assert_allclose(found.damped(2.0).solve(right), expected, atol=1e-12)


@pytest.mark.parametrize("at", [0, 20, 30, 47, 49])
def test_a_banded_matrix_that_is_not_definite_is_refused(at):
    """Whether it fails inside a piece or at the end of one."""
    matrix = np.eye(50)
    matrix[at, at] = -1e-3
    with pytest.raises(np.linalg.LinAlgError):
        banded(matrix).solve(np.ones((50, 1)))


@pytest.mark.parametrize(("table", "along"), [("hoop", 0.0), ("hoop_and_meridian", 1.0)])
def test_every_ring_against_finite_elements(table, along):
    """Axisymmetric solids, tests/reference/fe_dish_*.csv: within 1 % of each ring's peak, 2 % for the
    pole's."""
    data = np.genfromtxt(REFERENCE / f"fe_dish_{table}.csv", delimiter=",", skip_header=6)
    s, expected = data[:, 1], data[:, 3:]
    assert expected.shape == (21, 10)
    cap = spherical(R, angle_rad=np.radians(75.0))
    found = ring_influence(cap, np.linspace(0.0, cap.length_mm, 11), T, NU, along).at(s)
    axial = np.cos(s / R)
    free = np.eye(21) - np.outer(axial, axial) / (axial @ axial)
    off = np.abs(free @ found - free @ expected).max(axis=0) / np.abs(expected).max(axis=0)
    assert off[0] < 0.02
    assert off[1:].max() < 0.004


@pytest.mark.parametrize("width", [8.0, 20.0, 60.0])
def test_a_band_inside_and_one_at_the_rim(width):
    """The beam on an elastic foundation that a shell's edge is (J. W. Geckeler's approximation, from memory):
    with hoop and meridian strain alike, in the middle of a band R e (1 - exp(-x) cos x), x = beta b/2; at a
    free rim R e (1 + exp(-x)(sin x - cos x)), x = beta b. A hemisphere, whose rim no axial shift moves."""
    dish = spherical(R, depth_mm=R)
    rim, middle = dish.length_mm, R * np.radians(60.0)
    edges = np.array([0.0, middle - width / 2, middle + width / 2, rim - width, rim])
    found = ring_influence(dish, edges, T, NU, along=1.0).at(np.array([middle, rim]))
    x = BETA * width / 2
    assert found[0, 1] == pytest.approx(R * (1 - np.exp(-x) * np.cos(x)), rel=0.02)
    x = BETA * width
    assert found[1, 3] == pytest.approx(R * (1 + np.exp(-x) * (np.sin(x) - np.cos(x))), rel=0.02)


def test_wide_rings_are_the_membrane():
    """Away from a ring's ends the sheet does not bend: w = R e + cos(phi) * integral of (e_hoop -
    e_mer)/sin(phi) ds less what the axial shift takes, here for a smooth grading of many rings."""
    cap = spherical(R, angle_rad=1.2)
    edges = np.linspace(0.0, cap.length_mm, 61)
    middle = 0.5 * (edges[1:] + edges[:-1])
    grading = np.sin(middle / R) ** 2
    s = np.linspace(60.0, 270.0, 15)
    found = ring_influence(cap, edges, 0.3, NU).at(s) @ grading
    phi = s / R
    expected = R * np.sin(phi) ** 2 + np.cos(phi) * R * (1.0 - np.cos(phi))
    axial = np.cos(phi)
    off = (found - expected) - axial * (axial @ (found - expected)) / (axial @ axial)
    assert np.abs(off).max() < 0.003 * np.abs(expected).max()


def test_a_shift_along_the_axis_is_outward_at_the_pole():
    cap = spherical(R, angle_rad=1.2)
    found = ring_influence(cap, np.linspace(0.0, cap.length_mm, 4), T, NU)
    np.testing.assert_allclose(found.axial_mm, np.cos(found.s_mm / R))


def test_first_and_second_slopes_of_the_energy_against_differences():
    """About a cap that is crumpled at random, its metal strained and set at random: complete, so that
    Newton's method converges and slopes of shapes are exact."""
    rng = np.random.default_rng(4)
    rho = mesh(np.array([0.0, 60.0]), 5.0)
    count = len(rho) - 1
    shell = RevolvedShell(np.column_stack([rho, 0 * rho]), T, NU, set_rad=0.2 * rng.normal(size=count))
    shape = np.column_stack([rho, 0.002 * rho**2]) + rng.normal(0.0, 0.3, (len(rho), 2))
    shape[0] = 0.0
    strain = Strain(*(0.05 * rng.normal(size=(2, count))))
    about = shell.expanded(shape, strain)
    pull, stiffness = about.pull, full(about.stiffness, 2 * count)
    for unknown in range(2 * count):
        step = np.zeros(2 * count)
        step[unknown] = 1e-5
        moved = [shape + np.vstack([np.zeros((1, 2)), sign * step.reshape(-1, 2)]) for sign in (1.0, -1.0)]
        up, down = (shell.expanded(at, strain) for at in moved)
        assert pull[unknown] == pytest.approx((up.energy - down.energy) / 2e-5, rel=1e-5, abs=1e-5)
        np.testing.assert_allclose(stiffness[unknown], (up.pull - down.pull) / 2e-5, rtol=1e-4, atol=1e-5)


def full(banded, size):
    """(size, size) of what is kept of it."""
    pieces = banded._pieces
    whole = np.zeros((len(pieces) * PIECE, BAND + len(pieces) * PIECE))
    for k, piece in enumerate(pieces):
        whole[k * PIECE : (k + 1) * PIECE, k * PIECE : (k + 1) * PIECE + BAND] = piece
    lower = np.tril(whole[:size, BAND : BAND + size])
    return lower + np.tril(lower, -1).T


# From the flat disc.


def reissner(strain, radius, depth_about):
    """(r, z) at places of the disc by the Euler-Lagrange equations of the energy, as a boundary value
    problem.

    Unknowns phi, r, the moment rho c^2 (phi' + nu sin(phi)/rho) and the radial force P; the stretch follows
    from rho N = P lambda cos(phi). strain : hoop strain as a function of rho, smooth.
    """
    bend = T**2 / 12.0

    def stretch(rho, phi, r, pull):
        hoop, a = np.log(r / rho) - strain(rho), np.zeros_like(rho)
        for _ in range(30):
            a = pull * np.exp(a) * np.cos(phi) / rho - NU * hoop
        return a, hoop

    def slopes(rho, y):
        phi, r, moment, pull = y
        a, hoop = stretch(rho, phi, r, pull)
        leans = np.sin(phi) / rho
        turning = moment / (rho * bend) - NU * leans
        return np.array(
            [
                turning,
                np.exp(a) * np.cos(phi),
                bend * (leans + NU * turning) * np.cos(phi) + pull * np.exp(a) * np.sin(phi),
                rho * (hoop + NU * a) / r,
            ]
        )

    first = 0.5

    def ends(inner, outer):
        return np.array(
            [
                inner[2] - bend * (1 + NU) * inner[0],
                inner[3] - (1 + NU) * first * (np.log(inner[1] / first) - strain(first)),
                outer[2],
                outer[3],
            ]
        )

    rho = np.linspace(first, radius, 2001)
    phi = 2 * depth_about / radius**2 * rho
    guess = np.array([phi, rho * np.exp(strain(rho)), bend * (1 + NU) * phi, 0 * rho])
    found = scipy.integrate.solve_bvp(slopes, ends, rho, guess, tol=1e-6, max_nodes=50000)
    assert found.success, found.message
    phi, r, _, pull = found.sol(rho)
    a, _ = stretch(rho, phi, r, pull)
    z = scipy.integrate.cumulative_trapezoid(np.exp(a) * np.sin(phi), rho, initial=0.0)
    return rho, r, z


GRADINGS = {
    "a sphere": (lambda rho: np.log(np.sinc(rho / 600.0 / np.pi)), 33.0),
    "the rim alone": (lambda rho: -0.03 / (1.0 + np.exp((170.0 - rho) / 3.0)), 20.0),
    "a band that would kink": (lambda rho: -0.02 * np.exp(-(((rho - 120.0) / 12.0) ** 2)), 10.0),
    "doming by the hoop": (lambda rho: 0.02 * np.exp(-((rho / 60.0) ** 2)) - 0.01, 20.0),
}


@pytest.mark.parametrize("name", GRADINGS)
def test_a_disc_of_400_mm_against_reissners_equations(name):
    """Within 0.2 mm (asked for); what is left is the mesh."""
    strain, about = GRADINGS[name]
    rho, r, z = reissner(strain, 200.0, about)
    nodes = mesh(np.array([0.0, 200.0]), 1.6)
    disc = RevolvedShell(np.column_stack([nodes, 0 * nodes]), T, NU)
    hoop = strain(0.5 * (nodes[1:] + nodes[:-1]))
    shape = drawn(disc, Strain(hoop, 0 * hoop)).nodes_mm
    away = shape[:, 1] - np.interp(nodes, rho, z)
    assert z[-1] > 5.0
    assert np.abs(away - away[5]).max() < 0.05
    assert np.abs(shape[1:, 0] - np.interp(nodes, rho, r)[1:]).max() < 0.02


def test_a_little_strain_leaves_the_disc_flat():
    """Below the strain that buckles it the disc takes the stress; above it finds the hollow side."""
    rho = mesh(np.array([0.0, 150.0, 200.0]), 2.0)
    disc = RevolvedShell(np.column_stack([rho, 0 * rho]), T, NU)
    rim = np.where(disc.radius_mm > 150.0, -1.0, 0.0)
    none = np.zeros_like(rim)
    assert np.abs(drawn(disc, Strain(1e-6 * rim, none)).nodes_mm[:, 1]).max() < 1e-3
    assert drawn(disc, Strain(5e-3 * rim, none)).nodes_mm[-1, 1] > 5.0


DISHES = {
    "cap": (over_rim(500.0, 100.0), LENGTH_KEPT),
    "hemisphere": (spherical(R, depth_mm=R), LENGTH_KEPT),
    "dished end": (torispherical(800.0, 154.0, 1000.0), AREA_KEPT),
    "dome": (over_rim(500.0, 100.0), RIM_KEPT),
}


@pytest.fixture(params=DISHES)
def ringed(request):
    meridian, along = DISHES[request.param]
    blank = Blank(meridian, along)
    return RingedDisc(blank, np.linspace(0.0, blank.radius_mm, 9), T, NU)


def test_flat_at_first_and_the_dish_at_last(ringed):
    """Strokes go over evenly between rings, the target not quite: in rings a quarter as wide less than a
    tenth of what that leaves is left, but for what there is at the pole, where the bending is stiff."""
    assert np.abs(ringed.shape(0.0 * ringed.asked).nodes_mm[:, 1]).max() < 1e-6
    narrow = RingedDisc(ringed.blank, np.linspace(0.0, ringed.blank.radius_mm, 33), T, NU)
    off = []
    for disc in (ringed, narrow):
        target = disc.blank.meridian.points_mm(disc.blank.along_mm(disc.flat_mm))
        off.append(np.abs(disc.shape(disc.asked).nodes_mm - target).max())
    assert off[1] < max(0.1 * off[0], 0.006)  # mm


@pytest.mark.parametrize(("shape", "more"), [("cap", (16 / 15) ** 2), ("dome", 0.0)])
def test_strokes_lie_as_the_dish_asks_for_and_nowhere_less_than_none(shape, more):
    """An edge that is shrunk asks for more at its rim: e ~ rho^2, (1 / (1 - 1/16))^2 = 1.14 times in eight
    rings; a dome keeps its rim. What lies there is a sum of shares of the counts."""
    blank = Blank(*DISHES[shape])
    edges = np.linspace(0.0, blank.radius_mm, 9)
    at_rim = rim_share(blank, edges)
    assert at_rim == pytest.approx(more, rel=0.02, abs=1e-6)
    at = np.linspace(0.0, blank.radius_mm, 161)
    shares = going_over(edges, at, at_rim)
    assert shares.min() >= 0.0
    np.testing.assert_allclose(shares[at <= edges[-1] - 0.5 * edges[1]].sum(axis=1), 1.0)
    assert shares[-1, -1] == pytest.approx(at_rim) and shares[-1, :-1].max() == 0.0


def test_on_the_way_a_dish_is_between(ringed):
    depths = [ringed.shape(share * ringed.asked).nodes_mm[-1, 1] for share in (0.0, 0.1, 0.4, 0.8, 1.0)]
    assert np.all(np.diff(depths) > 0.0)


def test_half_of_a_sphere_is_a_wider_sphere():
    """Where the hoops are strained as another sphere asks for, the disc is that sphere: at every node within
    0.1 mm, but for the curvature at the rim that the metal has set to."""
    wide, deep = (
        Blank(spherical(radius, angle_rad=240.0 / radius), LENGTH_KEPT) for radius in (500.0, 300.0)
    )
    edges = np.linspace(0.0, 240.0, 61)
    disc = RingedDisc(deep, edges, 1.0, NU)
    rings = RingedDisc(wide, edges, 1.0, NU).asked
    found = disc.shape(rings).nodes_mm
    off = np.abs(found - wide.meridian.points_mm(disc.flat_mm))
    assert off[disc.flat_mm < 200.0].max() < 0.1


@pytest.mark.parametrize("share", [0.2, 1.0])
def test_slopes_against_differences(ringed, share):
    done = share * ringed.asked
    worked, step = ringed.shape(done), 1e-6
    for ring in (1, 4, 7):
        moved = np.zeros_like(done)
        moved[ring] = step
        ahead, behind = (ringed.shape(done + sign * moved).nodes_mm for sign in (1.0, -1.0))
        expected = (ahead - behind) / (2 * step)
        np.testing.assert_allclose(worked.slopes[:, :, ring], expected, atol=1e-4 * np.abs(expected).max())


def test_the_influence_about_the_finished_dish_is_that_of_its_shell():
    """Both ways of reckoning agree where the dish is finished: a ring is some hundred narrow ones that go
    over evenly from its middle to those of its neighbours, and on to the rim."""
    meridian, count = spherical(R, angle_rad=1.2), 12
    edges = np.linspace(0.0, meridian.length_mm, count + 1)
    narrow = np.linspace(0.0, meridian.length_mm, 40 * count + 1)
    shell = ring_influence(meridian, narrow, T, NU)
    place = (0.5 * (narrow[1:] + narrow[:-1]) / edges[1]).clip(0.5) - 0.5  # in rings from the first middle
    disc = RingedDisc(Blank(meridian, LENGTH_KEPT), edges, T, NU)
    moved = disc.shape(disc.asked).slopes
    slope = meridian.slope_rad(disc.flat_mm)
    outward = np.sin(slope)[:, None] * moved[:, 0] - np.cos(slope)[:, None] * moved[:, 1]
    for ring in (3, 7, 11):
        shares = np.maximum(1.0 - np.abs(place - ring), 0.0)
        if ring == count - 1:
            beyond = np.maximum(place - ring, 0.0) / 0.5
            shares = np.clip(place - (ring - 1), 0.0, 1.0) + (disc.rim_share - 1.0) * beyond
        expected = shell.at(disc.flat_mm) @ shares
        assert np.abs(outward[:, ring] - expected).max() < 0.03 * np.abs(expected).max()
