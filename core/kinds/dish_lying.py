"""How a dish lies on its template, and what its lobes show there: worked out once, and remembered.

A refit asks for the same shape at the same places again and again, for every meridian that was read.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from core.geometry.disc_to_dish import RingedDisc
from core.geometry.inextensional import LobedMode, lobed_mode
from core.geometry.profile_gap import Profile
from core.kinds.base import Linearised

Array = NDArray[np.float64]
SHAPES_KEPT = 64  # of the disc
MET_KEPT, PLACES_KEPT = 256, 8  # as seated; sets of places along the meridian
NEAR = 0.005  # strain within which a known shape is a start for another: the sheet snaps nowhere on the way


@dataclass(frozen=True)
class _Places:
    """Of the target (r, 2) and its slope (r,), radii (r,) of the disc that come to lie there, and how far its
    lobes stand out there (r, m)."""

    target_mm: Array
    slope_rad: Array
    flat_mm: Array
    lobes_mm: Array


class Lying:
    """One dish against its target. lobes : numbers of lobes that it may have"""

    def __init__(self, disc: RingedDisc, lobes: Sequence[int]) -> None:
        self._disc, self._blank, self._lobes = disc, disc.blank, lobes
        self._found: deque[tuple[Array, Array, Array]] = deque(maxlen=SHAPES_KEPT)  # strains, nodes, slopes
        # Arrays come as their bytes, to be remembered; what is handed out is the same for all who ask.
        self._profile = lru_cache(maxsize=SHAPES_KEPT)(self._shaped)
        self._met = lru_cache(maxsize=MET_KEPT)(self._laid)
        self._at = lru_cache(maxsize=PLACES_KEPT)(self._places)

    def profile(self, hoop: Array) -> Profile:
        """The disc whose rings have strained by this (n,), > 0 longer; its slopes are by that."""
        return self._profile(hoop.tobytes())

    def met(self, hoop: Array, shift_mm: float, at_mm: Array) -> Linearised:
        """That at places (r,) along the meridian, shifted outward at its pole by so much. Not to be written
        to."""
        return self._met(hoop.tobytes(), shift_mm, np.asarray(at_mm, dtype=float).tobytes())

    def lobes_mm(self, at_mm: Array) -> Array:
        """(r, m) outward at places (r,), per mm outward at the rim. Not to be written to."""
        return self._at(np.asarray(at_mm, dtype=float).tobytes()).lobes_mm

    @cached_property
    def modes(self) -> tuple[LobedMode, ...]:
        """By number of lobes."""
        return tuple(lobed_mode(self._blank.meridian, lobes) for lobes in self._lobes)

    def _laid(self, hoop: bytes, shift_mm: float, at: bytes) -> Linearised:
        profile, places = self._profile(hoop), self._at(at)
        start = profile.along_mm(self._disc.flat_mm, places.flat_mm)
        deviation, influence, seating = profile.gap(places.target_mm, places.slope_rad, start, shift_mm)
        return Linearised(*map(_kept, (deviation, influence, seating[:, None])))

    def _places(self, at: bytes) -> _Places:
        s, meridian = np.frombuffer(at), self._blank.meridian
        lobes = np.column_stack([mode.outward_mm(s / meridian.length_mm) for mode in self.modes])
        return _Places(meridian.points_mm(s), meridian.slope_rad(s), self._blank.flat_mm(s), _kept(lobes))

    def _shaped(self, hoop: bytes) -> Profile:
        done = np.frombuffer(hoop)
        as_asked = np.array_equal(done, self._disc.asked)
        worked = self._disc.finished if as_asked else self._disc.shape(done, self._start_mm(done))
        self._found.append((done, worked.nodes_mm, worked.slopes))
        return Profile(worked.nodes_mm, worked.slopes)

    def _start_mm(self, done: Array) -> Array | None:
        """(m + 1, 2) nodes by the slopes of the nearest shape that is known, where it is near."""
        if not self._found:
            return None
        off = [float(np.max(np.abs(done - known))) for known, _, _ in self._found]
        near = int(np.argmin(off))
        known, nodes, slopes = self._found[near]
        return np.asarray(nodes + slopes @ (done - known)) if off[near] < NEAR else None


def _kept(array: Array) -> Array:
    """The same, not to be written to."""
    array.setflags(write=False)
    return array
