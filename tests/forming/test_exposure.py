"""Noise and vibration of a day against published tables and examples."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.forming import (
    NOISE_DB,
    NOISE_PEAK_PA,
    VIBRATION_M_S2,
    daily_noise_db,
    daily_vibration_m_s2,
    noise_hours,
    vibration_hours,
    vibration_points,
)

# SCENIHR, Potential Health Risks of Exposure to Noise from Personal Music Players (2008), Table 3 (read in a
# summary): hours, and levels in dB(A) that make up 80, 85 and 87 dB(A) a day. Whole dB, halving by 3.
SAME_ENERGY = {8: (80, 85, 87), 4: (83, 88, 90), 2: (86, 91, 93), 1: (89, 94, 96)}
SAME_ENERGY |= {1 / 2: (92, 97, 99), 1 / 4: (95, 100, 102), 1 / 60: (107, 111, 113)}

# HSE, noise exposure ready-reckoner for a week (2020, read in a copy): points of 8 hours at a level,
# 100 of them 85 dB(A); rounded to two figures or so.
NOISE_POINTS = {78: 20, 80: 32, 82: 50, 83: 65, 84: 80, 85: 100, 86: 125, 87: 160, 88: 200, 89: 250}

# What a quiet break takes off an 8 hour shift, hours: dB (an acoustician's page, read; to a tenth).
BREAKS = {0.5: 0.3, 5 / 6: 0.5, 5 / 3: 1.0, 7 / 3: 1.5, 3.0: 2.0}


@pytest.mark.parametrize("hours", SAME_ENERGY)
def test_levels_and_times_of_the_same_energy(hours):
    """1 minute rounds 106.8, 111.8 and 113.8, two of them downwards."""
    for level, daily in zip(SAME_ENERGY[hours], NOISE_DB.values(), strict=True):
        assert daily_noise_db([level], [hours]) == pytest.approx(daily, abs=0.9 if hours < 0.1 else 0.1)
        assert noise_hours(level, daily) == pytest.approx(hours, rel=0.21 if hours < 0.1 else 0.02)


@pytest.mark.parametrize("level", NOISE_POINTS)
def test_noise_points_of_the_ready_reckoner(level):
    share = 8.0 / noise_hours(level, NOISE_DB["upper action"])
    assert 100.0 * share == pytest.approx(NOISE_POINTS[level], rel=0.03)


@pytest.mark.parametrize("hours", BREAKS)
def test_a_quiet_break_helps_little(hours):
    assert 90.0 - daily_noise_db([90.0, 0.0], [8.0 - hours, hours]) == pytest.approx(BREAKS[hours], abs=0.05)


def test_days_worked_out_by_hand():
    """88 - 10 lg 2 = 84.99; 95 - 10 lg 8 = 85.97; 10 lg((4 10^8.5 + 2 10^9)/8) = 86.11 (on paper)."""
    assert daily_noise_db([88], [4]) == pytest.approx(84.99, abs=0.005)
    assert daily_noise_db([95], [1]) == pytest.approx(85.97, abs=0.005)
    assert daily_noise_db([85, 90], [4, 2]) == pytest.approx(86.11, abs=0.005)
    assert daily_noise_db([], []) == daily_noise_db([100], [0]) == -math.inf


def test_values_of_the_noise_directive():
    """2003/10/EC, Article 3 (read as quoted): 80, 85, 87 dB(A); peaks in Pa: 135, 137, 140 dB(C)."""
    assert NOISE_DB == {"lower action": 80, "upper action": 85, "limit": 87}
    peak = [20 * math.log10(NOISE_PEAK_PA[name] / 20e-6) for name in NOISE_DB]
    assert peak == pytest.approx([135, 137, 140], abs=0.11)


def test_values_of_the_vibration_directive_in_points():
    """2002/44/EC, Article 3 (read as quoted): 2.5 and 5 m/s^2; HSE: 100 and 400 points."""
    assert vibration_points([VIBRATION_M_S2["action"], VIBRATION_M_S2["limit"]], 8) == pytest.approx(
        [100, 400]
    )


def test_examples_of_vibration():
    """5 m/s^2 for 3 h are 150 points (HSE, ready-reckoner, read); 7 for 1 h 98, 12 for 1 h 288, 10 reaches
    action after half an hour, the limit after 2 h (an acoustics consultant, read)."""
    assert vibration_points([5, 7, 12], [3, 1, 1]) == pytest.approx([150, 98, 288])
    assert vibration_hours(10, [2.5, 5.0]) == pytest.approx([0.5, 2.0])
    assert daily_vibration_m_s2([5], [3]) == pytest.approx(3.0619, abs=5e-5)


JOBS = st.lists(st.tuples(st.floats(0.0, 120.0), st.floats(0.01, 2.0)), min_size=1, max_size=8)


@given(JOBS)
def test_points_of_jobs_add_to_those_of_the_day(jobs):
    magnitudes, hours = np.array(jobs).T
    daily = daily_vibration_m_s2(magnitudes, hours)
    assert vibration_points(daily, 8.0) == pytest.approx(vibration_points(magnitudes, hours).sum())


@given(JOBS)
def test_a_day_of_noise_is_no_louder_than_its_loudest_and_more_jobs_make_more(jobs):
    levels, hours = np.array(jobs).T
    daily = daily_noise_db(levels, hours)
    assert daily <= levels.max() + 10 * math.log10(hours.sum() / 8) + 1e-9
    assert daily >= max(daily_noise_db([level], [time]) for level, time in jobs) - 1e-9
    assert noise_hours(daily, daily) == pytest.approx(8.0) if daily >= 0 else daily < 0


@pytest.mark.parametrize(
    ("field", "call"),
    [
        ("hours", lambda: daily_noise_db([85, 90], [4])),
        ("hours", lambda: daily_noise_db(85, 8)),
        ("hours", lambda: daily_noise_db([85, 90], [20, 5])),
        ("hours", lambda: daily_vibration_m_s2([5], [-1])),
        ("hours", lambda: vibration_points(5, 25)),
        ("levels", lambda: daily_noise_db([float("nan")], [8])),
        ("level", lambda: noise_hours(1e4, 85)),
        ("magnitudes", lambda: daily_vibration_m_s2([-5], [1])),
        ("magnitude", lambda: vibration_hours(0, 2.5)),
    ],
)
def test_what_has_no_meaning_is_refused(field, call):
    with pytest.raises(InputError) as error:
        call()
    assert error.value.field == field
