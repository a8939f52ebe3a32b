"""A day's noise and hand-arm vibration, and the values at which European law asks for action.

Noise: Directive 2003/10/EC, Article 3 (read as quoted); the level is that of ISO 1999, as A-weighted energy
spread over 8 hours. Vibration: Directive 2002/44/EC, Article 3 and annex (read in part as quoted); the
points are those of the ready-reckoner of the British Health and Safety Executive (HSE). A country's own law
may ask for more.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.forming.checked import Array, between, positive

DAY_HOURS = 8.0
# dB(A) over 8 hours. The limit holds at the ear, with protection worn; the action values without it.
NOISE_DB = {"lower action": 80.0, "upper action": 85.0, "limit": 87.0}
NOISE_PEAK_PA = {"lower action": 112.0, "upper action": 140.0, "limit": 200.0}
VIBRATION_M_S2 = {"action": 2.5, "limit": 5.0}  # A(8), over 8 hours


def daily_noise_db(levels_db: ArrayLike, hours: ArrayLike) -> float:
    """LEX,8h of a day: 10 lg of the sum of hours/8 10^(level/10), dB(A); minus infinity for no time at all.

    levels_db : (n,) A-weighted mean level of each job of the day; hours : (n,) how long, together at most 24.
    """
    levels = _levels("levels", levels_db)
    energy = float(np.sum(_hours_of(levels, hours) / DAY_HOURS * 10.0 ** (levels / 10.0)))
    return 10.0 * math.log10(energy) if energy > 0.0 else -math.inf


def noise_hours(level_db: ArrayLike, daily_db: ArrayLike) -> Array:
    """(...) hours at a level that make up a daily exposure; half for every 3 dB.

    More than 24 mean that no day is long enough.
    """
    beyond_db = _levels("level", level_db) - _levels("daily", daily_db)
    return np.asarray(DAY_HOURS * 10.0 ** (-beyond_db / 10.0))


def daily_vibration_m_s2(magnitudes_m_s2: ArrayLike, hours: ArrayLike) -> float:
    """A(8) of a day: root of the sum of hours/8 a^2, m/s^2.

    magnitudes_m_s2 : (n,) vibration total value of each job, >= 0; hours : (n,) of contact, at most 24 in
    all.
    """
    magnitudes = between("magnitudes", magnitudes_m_s2, 0.0, unit="m/s2")
    return math.sqrt(float(np.sum(_hours_of(magnitudes, hours) / DAY_HOURS * magnitudes**2)))


def vibration_points(magnitude_m_s2: ArrayLike, hours: ArrayLike) -> Array:
    """(...) exposure points, 2 a^2 T. Those of a day's jobs add; 100 are the action value, 400 the limit."""
    time = between("hours", hours, 0.0, 24.0)
    return np.asarray(2.0 * between("magnitude", magnitude_m_s2, 0.0, unit="m/s2") ** 2 * time)


def vibration_hours(magnitude_m_s2: ArrayLike, daily_m_s2: ArrayLike) -> Array:
    """(...) hours at a magnitude (> 0) that make up a daily exposure A(8); more than 24: never."""
    share = between("daily", daily_m_s2, 0.0, unit="m/s2") / positive("magnitude", magnitude_m_s2, "m/s2")
    return np.asarray(DAY_HOURS * share**2)


def _levels(field: str, levels_db: ArrayLike) -> Array:
    return between(field, levels_db, 0.0, 200.0, "dB(A)")


def _hours_of(jobs: Array, hours: ArrayLike) -> Array:
    """(n,) hours of a day's jobs, one for each."""
    each = between("hours", hours, 0.0, 24.0)
    if each.shape != jobs.shape or each.ndim != 1:
        raise InputError("hours", hours, "two lists of the same length, a job each, are wanted")
    if each.sum() > 24.0 * (1.0 + 1e-12):
        raise InputError("hours", hours, "no more than 24 hours in all are wanted")
    return each
