"""The learned bow: the prior against finite elements, conditioning against least squares, whole logs."""

from __future__ import annotations

import csv
from collections import defaultdict
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import core
from core.advice import BAND
from core.estimate.outofplane import (
    COMMON_SD,
    FACTOR,
    OWN_SD,
    READING_SD_MM,
    STOCK_SD_MM,
    BowReading,
    Counters,
    learned,
    reading_rows,
    unread,
)
from core.estimate.response import STRAIGHT
from tests.estimate.logs import whole_round
from tests.made_up import SECTIONS, rib

TABLE = Path(__file__).parent.parent / "reference" / "fe_out_of_plane.csv"
N = 30
SPREAD = float(np.hypot(COMMON_SD, OWN_SD))


def factors() -> dict[tuple[str, str], float]:
    """Out of plane over in plane by run and pass, both as shares of the formula; of a ladder by strain."""
    sums: dict[tuple[str, str], Any] = defaultdict(lambda: np.zeros(2))
    with TABLE.open(encoding="utf-8") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            of = row["strain_percent"] if "ladder" in row["run"] else row["pass"]
            sums[row["run"], of] += float(row["in_plane"]), float(row["out_of_plane"])
    return {key: float(out / inside) for key, (inside, out) in sums.items()}


FOUND = factors()


@pytest.mark.parametrize("key", FOUND, ids=" ".join)
def test_the_prior_covers_every_run_of_the_finite_elements(key: tuple[str, str]) -> None:
    assert abs(FOUND[key] - FACTOR) < BAND * SPREAD


def test_the_prior_is_neither_off_nor_idle() -> None:
    """Its mean is that of the passes of 0.5 to 2 %; its spread is at most one and a half times theirs."""
    passes = np.array([factor for (run, _), factor in FOUND.items() if "ladder" not in run])
    assert len(passes) == 13
    assert passes.mean() == pytest.approx(FACTOR, abs=0.05)
    assert passes.std(ddof=1) < SPREAD < 1.5 * passes.std(ddof=1)


def test_what_the_docstring_says_of_the_finite_elements() -> None:
    assert FOUND["shrink ladder", "-0.1"] == pytest.approx(1.00, abs=0.005)
    assert FOUND["shrink ladder", "-3"] == pytest.approx(0.72, abs=0.005)
    for run in ("shrink two passes", "stretch two passes"):
        assert FOUND[run, "1"] == pytest.approx(0.84, abs=0.005)
        assert FOUND[run, "2"] == pytest.approx(0.36, abs=0.01)


@pytest.mark.parametrize("run", ["shrink two passes", "stretch two passes"])
def test_the_first_pass_read_foretells_the_second_within_its_band(run: str) -> None:
    """One factor for good would be sure of 0.84 and find 0.36."""
    formula = np.array([-10.0, -10.0])
    bow = -10.0 * FOUND[run, "1"]
    bowing = learned(formula, [BowReading(1, bow)], 900.0)
    mean, sd = bowing.bow(formula)
    truth = bow - 10.0 * FOUND[run, "2"]
    assert abs(truth - mean) < BAND * sd
    assert sd < 0.6 * learned(formula, [], 900.0).bow(formula)[1]


def test_unread_is_the_prior() -> None:
    """By hand: mean 0.65 of the formula; stock 0.7 mm in a metre; common and own factors side by side."""
    mean, sd = learned(np.array([4.0, 3.0]), [], 2000.0).bow(np.array([4.0, 3.0]))
    assert mean == pytest.approx(0.65 * 7.0)
    assert sd == pytest.approx(np.sqrt((0.7 * 4.0) ** 2 + 0.04 * 49.0 + 0.04 * 25.0))
    assert (FACTOR, COMMON_SD, OWN_SD, STOCK_SD_MM) == (0.65, 0.2, 0.2, 0.7)


READINGS = [
    BowReading(0, 0.4),
    BowReading(1, -2.0),
    BowReading(1, -2.3),
    BowReading(2, -3.1),
    BowReading(2, 0.2, countered=True),
    BowReading(4, -1.0),
    BowReading(4, 0.1, countered=True),
]


@pytest.mark.parametrize("count", range(1, len(READINGS) + 1))
def test_conditioning_is_a_batch_least_squares(count: int) -> None:
    """min sum ((u - prior)/sd)^2 + sum ((bow - rows u)/0.3)^2 over everything not known, by QR."""
    formula, readings = np.array([-3.0, -2.5, -1.0, -0.4, -0.2]), READINGS[:count]
    bowing = learned(formula, readings, 1200.0)
    start = unread(len(formula), sum(r.countered for r in readings), 1200.0)
    sd = np.sqrt(np.diag(start.cov))
    system = np.vstack([np.diag(1.0 / sd), reading_rows(formula, readings) / READING_SD_MM])
    right = np.concatenate([start.mean / sd, [r.bow_mm / READING_SD_MM for r in readings]])
    _, r = np.linalg.qr(system)
    cov = np.linalg.inv(r.T @ r)
    answer = np.linalg.lstsq(system, right, rcond=None)[0]
    np.testing.assert_allclose(bowing.belief.mean, answer, atol=1e-7)
    np.testing.assert_allclose(bowing.belief.cov, cov, atol=1e-6)


COUNTERED = [BowReading(r.passes, r.bow_mm, r.countered, min(i // 2, 2)) for i, r in enumerate(READINGS)]


@pytest.mark.parametrize("count", range(1, len(READINGS) + 1))
def test_conditioning_on_counter_work_is_a_batch_least_squares(count: int) -> None:
    """The same with two counter-works among the readings: a share in common, and one of each own."""
    formula, readings = np.array([-3.0, -2.5, -1.0, -0.4, -0.2]), COUNTERED[:count]
    counters = Counters(np.array([2.0, 1.5]), STRAIGHT)
    bowing = learned(formula, readings, 1200.0, counters)
    start = unread(len(formula), sum(r.countered for r in readings), 1200.0, counters)
    assert len(start.mean) == 2 + 5 + sum(r.countered for r in readings) + 1 + 2
    sd = np.sqrt(np.diag(start.cov))
    system = np.vstack([np.diag(1.0 / sd), reading_rows(formula, readings, counters) / READING_SD_MM])
    right = np.concatenate([start.mean / sd, [r.bow_mm / READING_SD_MM for r in readings]])
    _, r = np.linalg.qr(system)
    np.testing.assert_allclose(bowing.belief.mean, np.linalg.lstsq(system, right, rcond=None)[0], atol=1e-7)
    np.testing.assert_allclose(bowing.belief.cov, np.linalg.inv(r.T @ r), atol=1e-6)


def test_counter_work_by_hand() -> None:
    """Unread: all of the formula give or take 0.35 in common and 0.2 of its own. Read with certainty of all
    else: the share common to all takes 0.35^2 / (0.35^2 + 0.2^2) of what was found."""
    counters = Counters(np.array([10.0]), STRAIGHT)
    mean, sd = learned(np.zeros(0), [], 1.0, counters).bow(np.zeros(0))
    assert mean == pytest.approx(10.0)
    assert sd == pytest.approx(10.0 * np.hypot(0.35, 0.2), rel=1e-4)
    read = learned(np.zeros(0), [BowReading(0, 0.0), BowReading(0, 5.0, counters=1)], 1.0, counters)
    kept = 0.35**2 / (0.35**2 + 0.2**2 + 2.0 * (READING_SD_MM / 10.0) ** 2)
    assert read.share[0] == pytest.approx(1.0 - 0.5 * kept, abs=0.02)
    assert read.share[1] < 0.35


def test_the_rows_are_those_of_the_model() -> None:
    rows = reading_rows(np.array([2.0, 3.0]), [BowReading(1, 0.0), BowReading(2, 0.0, True)])
    np.testing.assert_array_equal(rows, [[1, 2, 2, 0, 0, 0], [1, 5, 2, 3, 1, 0]])


def test_work_on_another_edge_changes_the_bow_and_not_what_was_learned() -> None:
    formula, before = np.array([-20.0, -20.0]), [BowReading(1, -8.0)]
    one = learned(formula, before, 1200.0)
    other = learned(formula, [*before, BowReading(1, 0.5, countered=True)], 1200.0)
    np.testing.assert_allclose(other.factors(2)[0], one.factors(2)[0], atol=1e-6)
    assert other.bow(formula[:1])[0] == pytest.approx(0.5, abs=1e-4)
    step = one.bow(formula)[0] - one.bow(formula[:1])[0]
    assert other.bow(formula)[0] - 0.5 == pytest.approx(step, abs=1e-3)


class Bowed:
    """A log of a simulated bar whose bow is a true factor times the formula on its true work."""

    def __init__(self, document: dict[str, Any], factor: float, seed: int) -> None:
        self.job = core.job(document)
        self.bar = core.simulated_bar(self.job, seed)
        self.factor, self.stock = factor, 0.5
        self.events: list[dict[str, Any]] = []

    @property
    def bow_mm(self) -> float:
        return self.stock + self.factor * self.job.part.side_effects(self.bar.work_done_rad())["bow_mm"]

    def run(self, action: str, bite: str, strokes: Any) -> None:
        counts = [int(m) for m in strokes]
        self.bar.work(action, bite, counts)
        self.events += [core.pass_done(action, counts, bite), whole_round(self.bar)]

    def read(self, off_mm: float) -> None:
        self.events.append(core.bow_read(round(self.bow_mm + off_mm, 1)))

    def advice(self) -> core.Advice:
        return core.refit(self.job, self.events)


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("section", ["angle", "channel, one"])
def test_a_factor_of_two_fifths_is_learned_after_two_readings(section: str, seed: int) -> None:
    """Read a standard deviation too high, then too low. Of the angle, which bows much, the factor is found
    to a tenth; for both, what comes next lies within the band told."""
    line = {"radius": "3000 mm", "length": "1200 mm"}
    told = Bowed(rib(section=SECTIONS[section], line=line, pitch="60 mm"), 0.4, seed)
    for share, off_mm in ((0.45, READING_SD_MM), (0.25, -READING_SD_MM)):
        one = told.job.part.work_per_strain() * told.job.tool.strain("medium")
        told.run("shrink", "medium", np.round(share * told.job.part.target / one))
        plain = told.advice()
        told.read(off_mm)
    said = told.advice()
    assert abs(told.bow_mm - said.side_effects.bow_mm) < BAND * said.side_effects.bow_sd_mm
    assert said.side_effects.bow_sd_mm < plain.side_effects.bow_sd_mm
    planned = said.next_pass
    assert planned is not None and planned.bow_mm == said.side_effects_then.bow_mm
    told.run(planned.action, planned.bite, planned.strokes)
    then = said.side_effects_then
    assert abs(told.bow_mm - then.bow_mm) < BAND * then.bow_sd_mm
    if section == "angle":
        after = told.job.part.side_effects(told.job.part.target)["bow_mm"]
        assert (said.side_effects_end.bow_mm - told.stock) / after == pytest.approx(0.4, abs=0.1)
