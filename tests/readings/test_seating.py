"""The best seating against a linear program in SciPy, and what seating cannot change."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

import core
from core.readings.offering import layout_of, offer, offers
from core.readings.seating import best_seating, rigid_free
from tests.made_up import LINES, bowl, rib

S = np.linspace(20.0, 1180.0, 30)
COLUMNS = np.column_stack([np.ones(30), S - 600.0, np.sin(S / 300.0)])
FREE = (np.array([-np.inf, -np.inf, -3.0]), np.array([np.inf, np.inf, 3.0]))


def library(readings: np.ndarray, columns: np.ndarray, bounds: tuple, rigid: bool) -> float:
    """Least widest gap by scipy.optimize.linprog (HiGHS): unknowns are the motion and the widest gap."""
    r, k = columns.shape
    ones = np.ones((r, 1))
    above = np.hstack([columns, -ones])  # gap <= widest
    below = np.hstack([-columns, np.zeros((r, 1)) if rigid else -ones])  # gap >= 0, or >= -widest
    limits = [(low, high) for low, high in zip(*bounds, strict=True)]
    found = linprog(
        np.r_[np.zeros(k), 1.0],
        A_ub=np.vstack([above, below]),
        b_ub=np.r_[-readings, readings],
        bounds=[*limits, (None, None)],
        method="highs",
    )
    assert found.status == 0
    return float(found.fun)


@pytest.mark.parametrize("rigid", [True, False])
@pytest.mark.parametrize("seed", range(8))
def test_widest_gap_is_that_of_linprog(seed: int, rigid: bool) -> None:
    readings = np.random.default_rng(seed).normal(size=30).cumsum() * 0.3
    found = best_seating(readings, COLUMNS, FREE, rigid)
    assert found.widest_mm == pytest.approx(library(readings, COLUMNS, FREE, rigid), rel=2e-4, abs=1e-5)
    np.testing.assert_allclose(
        found.gaps_mm - found.gaps_mm[0],
        (readings + COLUMNS @ found.motion) - (readings + COLUMNS @ found.motion)[0],
        atol=1e-9,
    )
    assert np.all(found.motion[2] <= 3.0 + 1e-4) and np.all(found.motion[2] >= -3.0 - 1e-4)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_rigid_template_that_can_only_be_shifted_is_laid_as_linprog_does(way: float) -> None:
    rng = np.random.default_rng(5)
    readings, columns = rng.normal(size=30), way * rng.uniform(0.2, 1.0, (30, 1))
    free = (np.array([-np.inf]), np.array([np.inf]))
    found = best_seating(readings, columns, free, rigid=True)
    assert found.widest_mm == pytest.approx(library(readings, columns, free, True), rel=1e-6)
    assert found.gaps_mm.min() == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_a_rigid_template_never_overlaps_and_always_touches(seed: int) -> None:
    readings = np.random.default_rng(seed).normal(size=30) * 4.0
    gaps = best_seating(readings, COLUMNS, FREE, rigid=True).gaps_mm
    assert gaps.min() >= 0.0
    assert gaps.min() < 1e-3 * gaps.max()


@given(
    shift=st.floats(-50.0, 50.0), tilt=st.floats(-0.02, 0.02), rigid=st.booleans(), seed=st.integers(0, 99)
)
def test_seating_is_blind_to_how_the_template_was_held(
    shift: float, tilt: float, rigid: bool, seed: int
) -> None:
    """Readings that differ by shift and tilt are the same part."""
    readings = np.random.default_rng(seed).normal(size=30).cumsum() * 0.3
    moved = readings + COLUMNS[:, :2] @ np.array([shift, tilt])
    one, other = (best_seating(r, COLUMNS, FREE, rigid) for r in (readings, moved))
    assert other.widest_mm == pytest.approx(one.widest_mm, rel=1e-3, abs=2e-4)


def test_many_readings_at_once() -> None:
    many = np.random.default_rng(1).normal(size=(7, 30)).cumsum(axis=1)
    together = best_seating(many, COLUMNS, FREE, rigid=True)
    for one, widest in zip(many, together.widest_mm, strict=True):
        assert widest == pytest.approx(library(one, COLUMNS, FREE, True), rel=2e-4, abs=1e-5)


@pytest.mark.parametrize("rigid", [True, False])
def test_many_readings_at_once_each_with_columns_of_its_own(rigid: bool) -> None:
    rng = np.random.default_rng(1)
    many = rng.normal(size=(7, 30)).cumsum(axis=1)
    columns = COLUMNS * rng.uniform(0.9, 1.1, (7, 30, 3))
    together = best_seating(many, columns, FREE, rigid)
    for one, own, widest, motion in zip(many, columns, together.widest_mm, together.motion, strict=True):
        assert widest == pytest.approx(library(one, own, FREE, rigid), rel=2e-4, abs=1e-5)
        alone = best_seating(one, own, FREE, rigid)
        np.testing.assert_allclose(motion, alone.motion, rtol=1e-9, atol=1e-9)


def test_offered_on_all_meridians_at_once_it_lies_as_on_each_by_itself() -> None:
    job = core.job(bowl(tolerance="0.5 mm"))
    part, rng = job.part, np.random.default_rng(3)
    count = layout_of(part, job.template).readable.sum()
    lobes, starts = rng.normal(0.0, 0.3, (5, count)), rng.normal(0.0, 0.5, (5, 1))
    lobes[0] = 0.0
    together = offers(part, job.template, 0.1 * part.target, starts, lobes)
    for start, shown, found in zip(starts, lobes, together, strict=True):
        alone = offer(part, job.template, 0.1 * part.target, start, shown)
        np.testing.assert_allclose(found.readings_mm, alone.readings_mm, atol=1e-9)
        np.testing.assert_allclose(found.rows, alone.rows, atol=1e-9)
        assert found.seat == pytest.approx(alone.seat, abs=1e-9) and found.at == alone.at
        assert found.widest_mm == pytest.approx(alone.widest_mm, abs=1e-9)


@pytest.mark.parametrize("form", LINES)
@pytest.mark.parametrize("name", ["inside", "outside", "layout line"])
def test_offered_part_is_seated_as_well_as_a_linear_program_can(form: str, name: str) -> None:
    """About the seating that was found the library moves nothing any further."""
    job = core.job(rib(line=LINES[form], template=name))
    rng = np.random.default_rng(5)
    work = job.part.target * 0.2 + rng.normal(0.0, 1e-3, len(job.part.sites))
    found = offer(job.part, job.template, work)
    layout = layout_of(job.part, job.template)
    here = job.part.linearise(work, found.seat, layout.points_mm)
    readings, columns = job.template.sign * here.deviation_mm, job.template.sign * here.seating
    bounds = (-job.part.seat_bound - found.seat, job.part.seat_bound - found.seat)
    best = library(
        readings, columns, (np.minimum(bounds[0], 0.0), np.maximum(bounds[1], 0.0)), job.template.rigid
    )
    assert found.widest_mm == pytest.approx(best, rel=5e-3, abs=2e-3)


def test_rigid_free_takes_out_what_a_least_squares_fit_would() -> None:
    """Against numpy.linalg.lstsq: the residual of the fit by the columns."""
    readings = np.random.default_rng(2).normal(size=30)
    fit = COLUMNS @ np.linalg.lstsq(COLUMNS, readings, rcond=None)[0]
    np.testing.assert_allclose(rigid_free(COLUMNS) @ readings, readings - fit, atol=1e-12)


def test_columns_that_move_nothing_are_no_motion() -> None:
    """A sweep cannot be shifted: what it reads stays what it is."""
    readings = np.array([0.3, -0.5, 0.2])
    found = best_seating(readings, np.zeros((3, 2)), (np.full(2, -np.inf), np.full(2, np.inf)), rigid=False)
    np.testing.assert_allclose(found.gaps_mm, readings)
    assert found.widest_mm == pytest.approx(0.5)
    np.testing.assert_allclose(rigid_free(np.zeros((3, 2))), np.eye(3))


def test_a_hoop_that_closed_on_a_disc_reads_from_its_tightest_place() -> None:
    """Round three quarters of a turn a shift outward clears one side and runs into the other: no motion lifts
    an overlap of 0.3 mm all round (by linprog). By hand: a part 0.3 to 0.5 mm too tight, 0.2 mm uneven."""
    phi = np.linspace(-0.75 * np.pi, 0.75 * np.pi, 41)
    columns = np.column_stack([np.cos(phi), np.sin(phi)])
    free = (np.full(2, -np.inf), np.full(2, np.inf))
    readings = -0.4 + 0.1 * np.cos(6.0 * phi)
    above = linprog(np.zeros(2), A_ub=-columns, b_ub=readings, bounds=[(None, None)] * 2)
    assert above.status == 2
    many = np.vstack([readings, readings + 1.0])
    found = best_seating(many, columns, free, rigid=True)
    assert np.all(found.gaps_mm.min(axis=1) >= 0.0)
    assert found.widest_mm[0] <= 0.3
    assert found.widest_mm[1] == pytest.approx(library(many[1], columns, free, True), rel=2e-4)
