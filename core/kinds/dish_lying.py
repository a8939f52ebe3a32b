"""How a dish lies on its template, and what its lobes show there: worked out once, and remembered.

A refit asks for the same shape at the same places again and again, for every meridian that was read.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from core.geometry.disc_to_dish import RingedDisc, SetSheet
from core.geometry.inextensional import LobedMode, lobed_mode
from core.geometry.profile_gap import Profile
from core.kinds.base import Linearised

Array = NDArray[np.float64]
SHAPES_KEPT = 64  # of the disc
MET_KEPT, PLACES_KEPT = 256, 8  # as seated; sets of places along the meridian
STRUCK_KEPT, NEXT_KEPT = 2, 16  # sheets that come of one by the next pass, and shapes after as many passes
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
    """One dish against its target.

    lobes : numbers of lobes that it may have; sheet : what it has set to by its passes, so many, None where
    they are not known; cut : the same as cut, what it knows of the target serves as well
    """

    def __init__(
        self,
        disc: RingedDisc,
        lobes: Sequence[int],
        sheet: SetSheet | None = None,
        passes: int = 0,
        cut: Lying | None = None,
    ) -> None:
        self._disc, self._blank, self._lobes = disc, disc.blank, lobes
        self._sheet, self._passes, self.cut = sheet, passes, self if cut is None else cut
        # Strains, nodes and slopes of shapes after as many passes: nearly alike in all reckonings of a log.
        self._by_passes: dict[tuple[int, bool], deque[tuple[Array, Array, Array]]] = {}
        which, most = (passes, sheet is not None and sheet.goes_on), NEXT_KEPT if passes else SHAPES_KEPT
        self._found = self.cut._by_passes.setdefault(which, deque(maxlen=most))
        # Arrays come as their bytes, to be remembered; what is handed out is the same for all who ask.
        self._profile = lru_cache(maxsize=SHAPES_KEPT)(self._shaped)
        self._met = lru_cache(maxsize=MET_KEPT)(self._laid)
        self._at: Callable[[bytes], _Places] = lru_cache(maxsize=PLACES_KEPT)(self._places)
        if cut is not None:
            self._at = cut._at
        self._struck = lru_cache(maxsize=STRUCK_KEPT)(self._set)

    def struck(self, hoop: Array, goes_on: bool) -> Lying:
        """The same once more strokes are put into it whose rings have strained by this (n,): it has set to
        its shape. goes_on : as it is worked on, and not after the next pass alone"""
        return self._struck(hoop.tobytes(), goes_on)

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
        if self.cut is not self:
            return self.cut.modes
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

    def _set(self, hoop: bytes, goes_on: bool) -> Lying:
        done, sheet = np.frombuffer(hoop), self._sheet
        if sheet is None:
            sheet = self._disc.untouched()
        else:
            sheet = self._disc.struck(sheet, done, self._profile(hoop).nodes_mm)
        sheet = replace(sheet, goes_on=goes_on)
        return Lying(self._disc, self._lobes, sheet, self._passes + 1, self.cut)

    def _shaped(self, hoop: bytes) -> Profile:
        done = np.frombuffer(hoop)
        as_asked = self._sheet is None and np.array_equal(done, self._disc.asked)
        start = None if as_asked else self._start_mm(done)
        worked = self._disc.finished if as_asked else self._disc.shape(done, start, self._sheet)
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
