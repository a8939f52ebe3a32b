"""How to seat the template again, where that takes the gaps away."""

from __future__ import annotations

from math import isnan

import core
from shopapp.presenters import wording
from shopapp.presenters.views import ReseatView


def view(job: core.Job, reseat: core.Reseat | None) -> ReseatView | None:
    """How to move the template, in mm at mid-length and at the far end."""
    if reseat is None:
        return None
    tilt_mm = reseat.tilt_rad * job.part.length_mm
    moves = []
    if abs(reseat.shift_mm) >= 0.05:
        way = "outward" if reseat.shift_mm > 0 else "inward"
        moves.append(f"{wording.length(abs(reseat.shift_mm))} {way} at mid-length")
    if abs(tilt_mm) >= 0.05:
        way = "outward" if tilt_mm > 0 else "inward"
        moves.append(f"the far end {wording.length(abs(tilt_mm))} {way} against the near end")
    then = wording.length(reseat.gap_then_mm)
    how = " and ".join(moves) or "a little"
    text = f"{_as_held(reseat)}Seat the template again: {how}. The widest gap is then {then}."
    return ReseatView(text, reseat.shift_mm, tilt_mm, then)


def _as_held(reseat: core.Reseat) -> str:
    """Why wide readings do not count, where it is known how wide they are."""
    if isnan(reseat.gap_now_mm):
        return ""
    now = wording.length(reseat.gap_now_mm)
    return f"So held the template shows up to {now}; what counts is how it lies at its best. "
