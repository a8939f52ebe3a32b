"""Measurements of an original as a document, and the line for a job that they give."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from core.errors import InputError
from core.geometry.line import Array
from core.jobfields import LONGEST_MM, Fields, in_range, listed, pair
from core.jsontext import json_ready, read_json
from core.originals.from_edge import LEAST_SPOTS, by_edge
from core.originals.from_rise import by_rise
from core.originals.job_fields import original_as
from core.originals.measured import Measured, rms
from core.originals.readings import Spots, spots
from core.units import format_length, parse_length_mm

MOST_READINGS = 2000
MOST_SD_MM = 20.0
ODD = 4.0  # standard deviations of a reading; one in some fifteen thousand is off by more


@dataclass(frozen=True, eq=False)
class Original:
    """An original as measured.

    name : as given; spots : what was read, repeats averaged; measured : the line with its uncertainty along
    it; off_mm : (n,) by which each mean reading is more than the line has there; symmetric : it was taken as
    alike on both sides of its middle
    """

    name: str
    spots: Spots
    measured: Measured
    off_mm: Array
    symmetric: bool

    @property
    def doubts(self) -> tuple[str, ...]:
        """A sentence where a reading lies farther off the line than reading it explains."""
        by_chance = np.abs(self.off_mm) / self.spots.sd_mm
        worst, many = int(np.argmax(by_chance)), int(np.sum(by_chance > ODD))
        if not many:
            return ()
        where, off = format_length(self.spots.at_mm[worst]), format_length(abs(self.off_mm[worst]))
        more = f", and {many - 1} more lie off" if many > 1 else ""
        so = "alike on both sides" if self.symmetric else "so smooth"
        unlike = ", or take the part as not alike" if self.symmetric else ""
        return (
            f"The reading at {where} lies {off} off a line that is {so}{more}: read it again, leave it out "
            f"if the part is worn or bent there{unlike}.",
        )

    def line_as(self, part: str = "line") -> dict[str, Any]:
        """The field "line", "outline" or "shape" of a job; raises as :func:`original_as`."""
        return original_as(part, self.measured)

    @property
    def sd_mm(self) -> float:
        """How far the line may be off, standard deviation, root mean square along it."""
        return rms(self.measured.sd_mm)


def original(document: Mapping[str, Any] | str | bytes) -> Original:
    """The line that measurements of an original give, from a mapping or JSON text.

    Fields as in assets/original-document.md. Raises InputError naming the field.
    """
    given = read_json(document) if isinstance(document, str | bytes) else json_ready(document)
    fields = Fields(given)
    name = fields.text("name", "original")
    by = fields.choice("by", BY)
    readings, path = _pairs(fields, "readings", "place and reading" if by != "traced points" else "x and y")
    sd = fields.length_mm("reading_sd", most=MOST_SD_MM)
    worn = [] if not fields.has_length("worn") else _pairs(fields, "worn", "from and to")[0].tolist()
    symmetric = fields.get("symmetric", False)
    if not isinstance(symmetric, bool):
        raise InputError("symmetric", symmetric, "true or false is wanted")
    found, (line, off) = BY[by](fields, readings, _Read(sd, worn, symmetric, path))
    fields.finish()
    return Original(name, found, line, off, symmetric)


Found = tuple[Spots, tuple[Measured, Array]]
"""what was read; the line, and by how much each reading is more than it"""


@dataclass(frozen=True)
class _Read:
    """How it was read. path : of the readings, for errors"""

    sd_mm: float
    worn: list[Any]
    symmetric: bool
    path: str

    def spots(self, readings: Array) -> Spots:
        found = spots(readings, self.sd_mm, [(low, high) for low, high in self.worn])
        if len(found.at_mm) < LEAST_SPOTS:
            wanted = f"readings at {LEAST_SPOTS} places or more are wanted, without those on worn spots"
            raise InputError(self.path, f"{len(found.at_mm)} places", wanted)
        return found


def _by_edge(fields: Fields, readings: Array, read: _Read) -> Found:
    """Ends where they are given, else the first and the last place that was read, worn or not."""
    ends = (float(readings[:, 0].min()), float(readings[:, 0].max()))
    if fields.has_length("ends"):
        (ends,) = _pairs(fields, "ends", "first and last", flat=True)[0].tolist()
        in_range(ends[1] - ends[0], *fields.shown("ends"), above=0.0, most=LONGEST_MM, unit="mm")
    found = read.spots(readings)
    return found, by_edge(found, (ends[0], ends[1]), read.symmetric, across=False)


def _by_tracing(_: Fields, readings: Array, read: _Read) -> Found:
    """Laid along its chord first; worn places are told along that."""
    start, way = readings[0], readings[-1] - readings[0]
    size = float(np.hypot(*way))
    if size == 0.0:
        raise InputError(read.path, readings[-1].tolist(), "an open line is wanted, its ends apart")
    turn = np.array([[way[0], way[1]], [-way[1], way[0]]]) / size
    laid = (readings - start) @ turn.T
    found = read.spots(laid)
    ends = (float(laid[:, 0].min()), float(laid[:, 0].max()))
    return found, by_edge(found, ends, read.symmetric, across=True)


def _by_rise(fields: Fields, readings: Array, read: _Read) -> Found:
    chord, length = fields.length_mm("chord"), fields.length_mm("length")
    in_range(chord, *fields.shown("chord"), above=0.0, most=length, unit="mm")
    over = np.flatnonzero(np.abs(readings[:, 1]) >= 0.5 * chord)
    if over.size:
        wanted = "a rise of less than half the chord is wanted"
        raise InputError(f"{read.path}[{over[0]}]", readings[over[0]].tolist(), wanted)
    from_end = np.minimum(readings[:, 0], length - readings[:, 0])
    beyond = np.flatnonzero(from_end < 0.5 * chord - 1e-9)
    if beyond.size:
        wanted = "a place at least half the chord from either end is wanted, the middle of the chord"
        raise InputError(f"{read.path}[{beyond[0]}]", readings[beyond[0]].tolist(), wanted)
    found = read.spots(readings)
    return found, by_rise(found, chord, length, read.symmetric)


BY: dict[str, Callable[[Fields, Array, _Read], Found]] = {
    "straight edge": _by_edge,
    "rise over a chord": _by_rise,
    "traced points": _by_tracing,
}
"""ways to measure an original, by name"""


def _pairs(fields: Fields, key: str, what: str, flat: bool = False) -> tuple[Array, str]:
    """(k, 2) mm of a list of pairs, or of one pair, and its path."""
    entries, path, bare = fields.lengths(key)
    rows = [entries] if flat else listed(entries, path, most=MOST_READINGS)

    def length(value: Any, field: str) -> float:
        mm = parse_length_mm(value, field, bare)
        return in_range(mm, field, value, above=-LONGEST_MM, most=LONGEST_MM, unit="mm")

    pairs = [pair(row, path if flat else f"{path}[{i}]", length, what) for i, row in enumerate(rows)]
    return np.array(pairs, dtype=float), path
