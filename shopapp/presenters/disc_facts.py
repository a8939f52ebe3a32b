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
STOPS = "Depth stop, in from the disc's edge"


def blank(job: core.Job) -> tuple[Fact, ...]:
    """What the disc is cut to, and what it would be by other methods."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    method, cut = next(iter(part.discs_mm.items()))
    own = f"about {cut:.0f} mm across, {method}"
    return (Fact("Cut the disc to", own), Fact("By other methods", others(job)), *ring_kept(job))


def ring_kept(job: core.Job) -> tuple[Fact, ...]:
    """The ring of the disc that keeps its size; () for what has none."""
    told = job.part.kept_ring if isinstance(job.part, core.ReadOnMeridians) else ""
    return (Fact("Ring that keeps its size", told),) if told else ()


def others(job: core.Job) -> str:
    """Discs for methods other than its own, "keep the area 412 mm, ..."; "" for other parts."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return ""
    found = list(part.discs_mm.items())[1:]
    return ", ".join(f"{name} {across:.0f} mm" for name, across in found)


def circles(job: core.Job) -> tuple[Fact, ...]:
    """Radii of the circles between the rings, as they are scribed on the flat disc."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    return (Fact("Scribe circles, radius from the middle", _mm(part.rings_mm[1:-1])),)


def stops(job: core.Job, action: str, strokes: Sequence[int]) -> tuple[Fact, ...]:
    """What the rings that a pass strikes want, outermost first: at which depth stop how many strokes on a
    spot, and how many that makes all the way round. Rows side by side share the strokes of a wide ring."""
    part = job.under.get(action, job.part)
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    spots = part.sites.spots(job.tools[action].patch_length_mm)
    struck = [i for i, m in enumerate(strokes) if m][::-1]
    each = (
        Fact(
            f"{part.sites.label.capitalize()} {i + 1}",
            f"{rows_text(part.stops_mm(i), strokes[i])}, {spots[i] * strokes[i]:.0f} round",
        )
        for i in struck
    )
    return (Fact(STOPS, "strokes on each spot, and all round the ring"), *each) if struck else ()


def stops_at_rim(job: core.Job, step: core.RoundingStep) -> tuple[Fact, ...]:
    """Where a step against lobes is struck: on the outermost ring."""
    part = job.under.get(step.action, job.part)
    if not isinstance(part, core.ReadOnMeridians):
        return ()
    return (Fact(STOPS, rows_text(part.stops_mm(len(part.sites) - 1), step.strokes)),)


def rows_text(stops_mm: Array, strokes: int) -> str:
    """Strokes on a spot of a ring, shared by its rows as evenly as whole strokes go, the outermost first:
    "3 at 13.8 mm, 2 at 26.2 mm", "2 each at 13.8 and 26.2 mm", "1 in turn at 13.8 and 26.2 mm"."""
    shown, rows = [wording.number(round(float(mm), 1)) for mm in stops_mm], len(stops_mm)
    whole, over = divmod(strokes, rows)
    if rows == 1:
        return f"{strokes} at {shown[0]} mm"
    if not whole:
        return f"{strokes} in turn at {' and '.join(shown)} mm"
    if not over:
        return f"{whole} each at {' and '.join(shown)} mm"
    return ", ".join(f"{whole + (i < over)} at {mm} mm" for i, mm in enumerate(shown))


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
