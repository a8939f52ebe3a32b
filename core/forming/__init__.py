"""Formulas of sheet forming from which limits are built. Numbers are in mm, MPa, hours and natural strain.

Strain is > 0 where the worked edge gets shorter. Everything takes numbers or arrays that broadcast, and
refuses what has no meaning with an InputError. The metal is one without direction in its plane; nothing is
learned here.
"""

from core.forming.capacity import largest_thickness_mm
from core.forming.cracking import edge_strain_limit, hole_expansion_ratio, stretch_left
from core.forming.exposure import (
    NOISE_DB,
    NOISE_PEAK_PA,
    VIBRATION_M_S2,
    daily_noise_db,
    daily_vibration_m_s2,
    noise_hours,
    vibration_hours,
    vibration_points,
)
from core.forming.hardening import (
    flow_stress_mpa,
    flow_stress_rise,
    length_after_mm,
    natural_strain,
    tensile_strength_mpa,
    uniform_elongation,
    uniform_strain,
)
from core.forming.thickness import effective_strain, thickness_after_mm, thickness_strain
from core.forming.wrinkling import elastic_coefficient, elastic_strain_limit, stroke_strain_limit

__all__ = [
    "NOISE_DB",
    "NOISE_PEAK_PA",
    "VIBRATION_M_S2",
    "daily_noise_db",
    "daily_vibration_m_s2",
    "edge_strain_limit",
    "effective_strain",
    "elastic_coefficient",
    "elastic_strain_limit",
    "flow_stress_mpa",
    "flow_stress_rise",
    "hole_expansion_ratio",
    "largest_thickness_mm",
    "length_after_mm",
    "natural_strain",
    "noise_hours",
    "stretch_left",
    "stroke_strain_limit",
    "tensile_strength_mpa",
    "thickness_after_mm",
    "thickness_strain",
    "uniform_elongation",
    "uniform_strain",
    "vibration_hours",
    "vibration_points",
]
