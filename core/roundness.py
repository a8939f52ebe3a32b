"""Out of round: plain frozen records of what is known of a part's lobes and of what takes them out."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan


@dataclass(frozen=True)
class Lobe:
    """One lobed part of the shape.

    lobes : how many; amplitude_mm, amplitude_sd_mm : outward at the rim along the normal; radial_mm,
    radial_sd_mm : the same away from the axis; at_deg, at_sd_deg : where it stands out most, from the mark,
    the first of as many places; told : the meridians read since the last pass tell it from all else
    """

    lobes: int
    amplitude_mm: float
    amplitude_sd_mm: float
    radial_mm: float
    radial_sd_mm: float
    at_deg: float
    at_sd_deg: float
    told: bool


@dataclass(frozen=True)
class RoundingStep:
    """A small step against lobes. arcs_deg : from and to of each arc of the rim, on every spot of which the
    strokes are; takes_mm, takes_sd_mm : off the radius at the rim; known : by earlier such steps; even_mm :
    by which it moves the whole rim outward as well, along the normal, < 0 inward; gap_mm : widest gap
    expected once it is done, even part and told lobes together"""

    action: str
    bite: str
    lobes: int
    at_deg: float
    strokes: int
    arcs_deg: tuple[tuple[float, float], ...]
    takes_mm: float
    takes_sd_mm: float
    known: bool
    even_mm: float = 0.0
    gap_mm: float = nan


@dataclass(frozen=True)
class Lobing:
    """lobes : one a number of lobes; out_of_round_mm, out_of_round_sd_mm : largest less smallest radius of
    the rim about its mean circle (the roundness of ISO 12181-1), of what is told, NaN where nothing is;
    read_deg : meridians read since the last pass, the last one first; more_deg : what to read besides to tell
    all of them; here_deg : the meridian that Advice.expected_reading_mm is of, the last one read;
    why_no_step : a sentence where lobes matter and no step is of use, else ""
    """

    lobes: tuple[Lobe, ...]
    out_of_round_mm: float
    out_of_round_sd_mm: float
    read_deg: tuple[float, ...]
    more_deg: tuple[float, ...]
    step: RoundingStep | None
    here_deg: float = 0.0
    why_no_step: str = ""
