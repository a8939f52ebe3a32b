"""A round that can only be right if the strokes before it did quite another thing than was believed.

The readings of such a round agree with one another: a sign turned round all along, or a column filled in with
one number, is taken for a response that nobody expected. So the response before and after it is compared.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import exp, sqrt

import numpy as np

from core.errors import InputError
from core.estimate.careful import careful_fit
from core.estimate.fit import Fit
from core.jobtypes import Job
from core.readings.rounds import CHANGES, PassDone, Round, Step
from core.readings.seating import rigid_free

ODD = 3.5  # standard deviations of what was believed; of simulated parts none in 166 rounds went beyond 1.6
ODD_ALIKE = 1.5  # more than believed, all readings one number: seldom does a pass end a part to the last leaf
ODD_BY_A_SLIP = 2.0  # where a slip would make it ordinary: of rounds one in hundreds is turned round
ORDINARY = 1.0  # standard deviations, within which a slip explains the round
LEAST_SD = 0.1  # of the log response: what was learned well is no better known than the model
FEWEST = 4  # readings of a round
SLIPS = {"ten times too large": 0.1, "ten times too small": 10.0}


@dataclass(frozen=True)
class Odd:
    """action, bite : of the pass; ratio : of its response to what was believed before; off : the same in
    standard deviations; alike : whether all readings of the round are one number"""

    action: str
    bite: str
    ratio: float
    off: float
    alike: bool

    def doubtful(self, slip: str) -> bool:
        """Whether the round is to be read again; slip : that would make it an ordinary one, "" if none."""
        off = abs(self.off)
        return off > ODD or (off > ODD_BY_A_SLIP and bool(slip)) or (self.alike and self.off > ODD_ALIKE)


def odd_round(job: Job, steps: list[Step], fitted: Fit) -> str:
    """What to say of the round after the last pass; "" where all is well, or the round was read again since
    or confirmed."""
    k = _only_round(steps)
    if k is None:
        return ""
    odd = _odd(steps, k, fitted)
    if odd is None or abs(odd.off) <= ODD_ALIKE or _moved_mm(job, k, fitted) <= job.tolerance_mm:
        return ""
    slip = _cause(job, steps, k) if abs(odd.off) > ODD_BY_A_SLIP else ""
    if not odd.doubtful(slip):
        return ""
    alike = ", and all its readings are alike" if odd.alike else ""
    return (
        f"This round can only be right if the {odd.bite} {odd.action} bite does {odd.ratio * 100:.0f} % of "
        f"what was believed before it{alike}. "
        f"{slip}Correct it, or the pass if it was run otherwise, or read it again: it counts once it comes "
        "out alike or is confirmed. Work nothing by it before."
    )


def _only_round(steps: list[Step]) -> int | None:
    """Index of the round since the last pass, None where there are none or several, or it is confirmed."""
    found: list[int] = []
    for k in reversed(range(len(steps))):
        if isinstance(steps[k], CHANGES):
            break
        if isinstance(steps[k], Round):
            found.append(k)
    telling = [k for k in found if len(_read(steps[k])) >= FEWEST]
    if len(telling) != 1:
        return None
    step = steps[telling[0]]
    return None if isinstance(step, Round) and step.all_confirmed else telling[0]


def _read(step: Step) -> list[float]:
    return step.gaps_mm[step.read].tolist() if isinstance(step, Round) else []


def _odd(steps: list[Step], k: int, fitted: Fit) -> Odd | None:
    """By how much the round moved what is believed of a pass before it, by the one that it moved most."""
    model, n = fitted.model, fitted.sites
    was, now = fitted.beliefs[k - 1] if k else None, fitted.beliefs[k]
    found, alike = [], bool(np.ptp(_read(steps[k])) == 0.0)
    for done in _passes_before(steps, k):
        row = model.alone(done.action, done.bite, float(done.strokes[done.strokes > 0].mean()))
        assert was is not None
        moved = float(row @ (now.mean[n:] - was.mean[n:]))
        sd = max(sqrt(max(float(row @ was.cov[n:, n:] @ row), 0.0)), LEAST_SD)
        found.append(Odd(done.action, done.bite, exp(moved), moved / sd, alike))
    return max(found, key=lambda odd: abs(odd.off), default=None)


def _moved_mm(job: Job, k: int, fitted: Fit) -> float:
    """By how much the round moved what was believed of the shape, at its widest, rigid motion taken out: less
    than the tolerance is not worth a doubt."""
    n = fitted.sites
    was, now = fitted.beliefs[k - 1].mean[:n], fitted.beliefs[k].mean[:n]
    lin = job.part.linearise(now, fitted.rounds[k].seat)
    return float(np.abs(rigid_free(lin.seating) @ lin.influence @ (now - was)).max())


def _passes_before(steps: list[Step], k: int) -> Iterable[PassDone]:
    """Passes with strokes since the round before this one."""
    for step in reversed(steps[:k]):
        if isinstance(step, Round):
            return
        if isinstance(step, PassDone) and step.strokes.any():
            yield step


def _cause(job: Job, steps: list[Step], k: int) -> str:
    """The slip that would make the round an ordinary one, as a sentence, "" if none does."""
    step = steps[k]
    assert isinstance(step, Round)
    if not step.template.rigid and _explains(job, steps, k, -1.0):
        return (
            "With its signs turned it would be as expected: above 0 is written where the part still lacks "
            "bend, below 0 where it has too much. "
        )
    for name, factor in SLIPS.items():
        if _explains(job, steps, k, factor):
            return f"The gaps look {name}: is the decimal point in the right place? "
    return ""


def _explains(job: Job, steps: list[Step], k: int, factor: float) -> bool:
    """Whether the round would be ordinary with its readings times this."""
    step = steps[k]
    assert isinstance(step, Round)
    if not np.any(step.gaps_mm[step.read]):
        return False
    other: list[Step] = [*steps[:k], replace(step, gaps_mm=step.gaps_mm * factor)]
    try:
        fitted = careful_fit(job, other)
    except InputError:
        return False
    odd = _odd(other, k, fitted)
    return odd is not None and abs(odd.off) <= ORDINARY and len(fitted.rounds[k].set_aside) < FEWEST
