"""Hidden numbers: they spread as stated, and the end effect lies where finite elements put it."""

from __future__ import annotations

import numpy as np
import pytest

from core.simulate import Truth, Wander, draw_truth
from core.simulate.of_job import BY_SHAPE, PIECE_SD, of_batch

BITES = {"light": 0.4, "medium": 1.0, "heavy": 1.8}


def test_response_is_unknown_by_about_thirty_per_cent() -> None:
    """Root sum of squares of the two independent parts, 0.27 and 0.15: 0.309 (propagation of variances)."""
    rng = np.random.default_rng(3)
    logs = [np.log(t.common * t.action["shrink"]) for t in (draw_truth(rng, BITES) for _ in range(4000))]
    assert np.std(logs) == pytest.approx(np.hypot(0.27, 0.15), rel=0.04)
    assert abs(np.mean(logs)) < 0.02


def test_exponent_is_drawn_evenly_between_its_ends() -> None:
    """Uniform on 0.7..1: mean 0.85, sd 0.3/sqrt(12)."""
    rng = np.random.default_rng(4)
    p = np.array([draw_truth(rng, BITES).exponent for _ in range(3000)])
    assert p.min() >= 0.7 and p.max() <= 1.0
    assert p.mean() == pytest.approx(0.85, abs=0.005)
    assert p.std() == pytest.approx(0.3 / np.sqrt(12.0), rel=0.05)


def test_wander_has_its_spread_and_correlation() -> None:
    """Spectral representation of a Gaussian process (Shinozuka 1971, from memory): correlation at one
    correlation length exp(-1/2)."""
    rng = np.random.default_rng(5)
    at = np.array([100.0, 350.0, 1100.0])
    values = np.array([Wander.draw(rng, 0.1, 250.0)(at) for _ in range(6000)])
    assert values.std(axis=0) == pytest.approx(np.full(3, 0.1), rel=0.04)
    correlation = np.corrcoef(values.T)
    assert correlation[0, 1] == pytest.approx(np.exp(-0.5), abs=0.03)
    assert correlation[0, 2] == pytest.approx(0.0, abs=0.05)


def test_no_wander_is_nothing() -> None:
    assert np.all(Wander.none()(np.linspace(0.0, 1000.0, 11)) == 0.0)


@pytest.mark.parametrize("flange, distance, low, high", [(40, 12.5, 0.2, 0.8), (40, 37.5, 0.93, 1.0)])
def test_end_effect_brackets_the_finite_elements(
    flange: float, distance: float, low: float, high: float
) -> None:
    """Heading at the end against an ideal hinge: 0.442 at 12.5 mm and 0.966 at 37.5 mm of an angle
    40x40x1.5, 0.766 at 12.5 mm of a channel 60x30x1.5 (20-node solid elements, end_effects.csv)."""
    rng = np.random.default_rng(6)
    shares = [draw_truth(rng, BITES).end_share(np.array([distance]), flange)[0] for _ in range(500)]
    assert low <= min(shares) and max(shares) <= high
    if distance == 12.5:
        assert min(shares) < 0.442 and max(shares) > 0.6


def test_bites_are_not_in_proportion() -> None:
    """A light bite does less than its share: strokes of 0.5, 1 and 2 % leave 0.297, 0.820 and 1.852 %
    (grip runs, stiff tool with spring-back), that is a power of 1.2 to 1.5 of the strain."""
    power = np.log(0.82 / 0.297) / np.log(2.0), np.log(1.852 / 0.82) / np.log(2.0)
    truth = Truth(bite_exponent=1.2)
    assert truth.bite_work("light", 0.4) < 0.4
    assert truth.bite_work("heavy", 1.8) > 1.8
    assert 1.1 < power[1] < power[0] < 1.5


def test_parts_of_a_batch_share_what_metal_shape_and_template_make() -> None:
    """What differs from piece to piece is how strong and how even it answers, and how straight it came."""
    one, other = (of_batch(draw_truth(np.random.default_rng(seed), BITES), 5, seed, BITES) for seed in (1, 2))
    at = np.linspace(0.0, 900.0, 7)
    assert [getattr(one, name) for name in BY_SHAPE[:-1]] == [getattr(other, name) for name in BY_SHAPE[:-1]]
    assert np.array_equal(one.template_error(at), other.template_error(at))
    assert (one.exponent, one.bite, one.action) == (other.exponent, other.bite, other.action)
    assert 0.0 < abs(np.log(one.common / other.common)) < 5.0 * PIECE_SD
    assert not np.allclose(one.unevenness(at), other.unevenness(at))
    assert not np.allclose(one.stock_curvature(at), other.stock_curvature(at))
