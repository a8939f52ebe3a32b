"""What is told of a part that is made from a disc: blank, circles to scribe, depth stops, thickness."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

import core
from shopapp.presenters import wording
from shopapp.presenters.part_words import words_of
from shopapp.presenters.pieces import Fact

Array = NDArray[np.float64]
EQUAL_AREA = {"keep the area": "equal area"}


def blank(job: core.Job) -> tuple[Fact, ...]:
    """What the disc is cut to, and what it would be by other methods."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    method, cut = next(iter(part.discs_mm.items()))
    own = f"about {cut:.0f} mm across, {EQUAL_AREA.get(method, method)}"
    return (Fact("Cut the disc to", own), Fact("By other methods", others(job)))


def others(job: core.Job) -> str:
    """Discs for methods other than its own, "equal area 412 mm, ..."; "" for other parts."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return ""
    found = list(part.discs_mm.items())[1:]
    return ", ".join(f"{EQUAL_AREA.get(name, name)} {across:.0f} mm" for name, across in found)


def circles(job: core.Job) -> tuple[Fact, ...]:
    """Radii of the circles between the rings, as they are scribed on the flat disc."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    return (Fact("Scribe circles, radius from the middle", _mm(part.rings_mm[1:-1])),)


def stops(job: core.Job, action: str, strokes: Sequence[int]) -> tuple[Fact, ...]:
    """Depth stops of the rings that a pass strikes, outermost first: the strokes of a wide ring are shared by
    rows side by side."""
    part = job.under.get(action, job.part)
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    label, struck = part.sites.label, [i for i, m in enumerate(strokes) if m][::-1]
    found = [(i, stop_text(job, action, i)) for i in struck]
    rows = max((len(part.stops_mm(i)) for i in struck), default=1)
    shared = f"; rows side by side, up to {rows} a {label}, share its strokes" if rows > 1 else ""
    told = "; ".join(f"{label} {i + 1}: {text}" for i, text in found)
    return (Fact("Depth stop, in from the disc's edge", f"{told}{shared}"),) if told else ()


def stop_text(job: core.Job, action: str, site: int) -> str:
    """Depth stops of one ring, a row of strokes each, "15 and 30 mm"; "" for other parts."""
    part = job.under.get(action, job.part)
    if not isinstance(part, core.ReadOnMeridians):
        return ""
    return " and ".join(wording.number(round(mm, 1)) for mm in part.stops_mm(site)) + " mm"


def thickness(job: core.Job, then_mm: Array) -> tuple[Fact, ...]:
    """Thickness on target (n,): of the worked edge from least to largest; ring by ring for a disc."""
    words, label = words_of(job.part), job.part.sites.label
    if not isinstance(job.part, core.ReadOnMeridians):
        return (Fact(words.thick, wording.lengths(then_mm)),)
    ends = (("thinnest", int(then_mm.argmin())), ("thickest", int(then_mm.argmax())))
    told = ", ".join(f"{what} {label} {i + 1}: {wording.length(then_mm[i])}" for what, i in ends)
    if wording.digits(then_mm.min()) == wording.digits(then_mm.max()):
        return (Fact(words.thick, f"{wording.length(then_mm[0])} at every {label}"),)
    each = ", ".join(wording.digits(mm) for mm in then_mm)
    return (Fact(words.thick, told), Fact(f"{label.capitalize()} by {label}, from the middle", f"{each} mm"))


def _mm(values: Array) -> str:
    return ", ".join(wording.number(round(float(mm), 1)) for mm in values) + " mm"
