"""Sentences for the operator: what changed against the plan, and why."""

from __future__ import annotations

from core.advice import CLOSE, WITHIN, Pass, Reseat, Response, Suspect
from core.jobtypes import Job

NOTICEABLE = 0.05  # a response nearer to what was expected is not worth a sentence


def reasons_for(
    job: Job,
    verdict: str,
    last: tuple[str, str] | None,
    response: dict[tuple[str, str], Response],
    before: tuple[Pass, ...],
    now: tuple[Pass, ...],
    suspects: tuple[Suspect, ...],
    reseat: Reseat | None,
) -> tuple[str, ...]:
    """In the order of weight: doubtful readings, seating, response, change of plan, what is close.

    last : action and bite of the pass last read, None before any; before : the plan as it was before
    the last round; now : as it is.
    """
    label = job.part.sites.label
    said = [
        f"{label.capitalize()} {s.station + 1} reads {s.read_mm:.2f} mm where everything else says "
        f"{s.expected_mm:.2f} mm (from {s.low_mm:.2f} to {s.high_mm:.2f} mm); it is left out until it is "
        "read again or confirmed."
        for s in suspects
    ]
    if reseat is not None:
        said.append(
            f"The template is not seated at its best: seated again, the widest gap would be "
            f"{reseat.gap_then_mm:.2f} mm."
        )
    if last is not None:
        said.extend(_about_response(response[last]))
    if before and verdict != WITHIN:
        said.extend(_about_plan(before, now))
    if verdict == CLOSE:
        said.append(
            "The widest gap is too near the tolerance for this gauge; read the widest places again, "
            "or with a finer gauge."
        )
    if verdict != WITHIN and not now:
        said.append("No whole stroke of any bite would bring the part nearer to its template.")
    return tuple(said)


def _about_response(response: Response) -> list[str]:
    off = response.ratio - 1.0
    if abs(off) < NOTICEABLE:
        return [f"The {response.bite} {response.action} bite does what was expected of it."]
    more = "more" if off > 0 else "less"
    return [
        f"The {response.bite} {response.action} bite does {abs(off) * 100:.0f} % {more} a stroke than "
        f"expected ({response.mean:.5f} ± {2 * response.sd:.5f} {response.unit})."
    ]


def _about_plan(before: tuple[Pass, ...], now: tuple[Pass, ...]) -> list[str]:
    """before : planned ahead of the last readings; now : planned after them."""
    if not now:
        return []
    first, was = now[0], before[0]
    if first.action != was.action:
        return [f"The next pass is to {first.action}, not to {was.action}: the gaps are on the other side."]
    if first.bite != was.bite:
        return [f"The next pass takes the {first.bite} bite instead of the {was.bite} one."]
    change = first.total - was.total
    if abs(change) > max(2, 0.1 * was.total):
        more = "more" if change > 0 else "fewer"
        return [f"The next pass has {first.total} strokes, {abs(change)} {more} than planned."]
    return []
