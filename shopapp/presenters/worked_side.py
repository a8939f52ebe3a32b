"""Which side of the line the worked edge is on, and what that makes of the bar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby

import numpy as np

import core

NOTHING = 0.02
"""share of the most that a station wants, below which it wants nothing worth saying"""


def runs(job: core.Job) -> list[tuple[int, int, str]]:
    """(first station, last station, action) along the bar, from 0, "fold" where the tool folds; straight
    stretches are left out."""
    target = np.asarray(job.part.target, dtype=float)
    least = NOTHING * float(np.max(np.abs(target)))
    folds = job.part.sites.folded_up("shrink")
    ways = ["" if abs(x) <= least else ("shrink" if x > 0 else "stretch") for x in target]
    ways = ["fold" if way and fold else way for way, fold in zip(ways, folds, strict=True)]
    found, at = [], 0
    for action, run in groupby(ways):
        count = len(list(run))
        if action:
            found.append((at, at + count - 1, action))
        at += count
    return found


def sentence(job: core.Job, ways: Mapping[str, str], several: str, where: Mapping[str, str]) -> str:
    """What the line makes of the edge. ways : by action, where it is the only one; several, where : of what
    it is said where there are several, and what by action, each before the places of it"""
    found = runs(job)
    actions = {action for _, _, action in found}
    if len(actions) == 1:
        return {**ways, "fold": "The edge is straight: the tool folds it up (fold)."}[actions.pop()]
    if not actions:
        return "The line is straight: there is nothing to work."
    told = (f"{words} at {_places(job, found, a)}" for a, words in where.items() if a in actions)
    return f"{several} {' and '.join(told)}."


def _places(job: core.Job, found: list[tuple[int, int, str]], action: str) -> str:
    spans = (f"{a + 1}" if a == b else f"{a + 1} to {b + 1}" for a, b, way in found if way == action)
    return f"{job.part.sites.label}s {', '.join(spans)}"


def beside(points: np.ndarray, share: float) -> np.ndarray:
    """(m, 2) points moved to the left of the way along them, where the worked edge is.

    points : (m, 2) in mm; share : of the longer side of what they span, < 0 to the right
    """
    steps = np.gradient(points, axis=0)
    normal = np.stack([-steps[:, 1], steps[:, 0]], axis=1) / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    moved: np.ndarray = points + share * float(np.max(np.ptp(points, axis=0))) * normal
    return moved


def arrows_at(job: core.Job, along: np.ndarray) -> Iterator[tuple[int, str]]:
    """(index of the point amid it, action) of each stretch that closes or opens.

    along : (m,) arc length of the points of the outline, mm
    """
    position = np.asarray(job.part.sites.position_mm, dtype=float)
    for first, last, action in runs(job):
        middle = 0.5 * (position[first] + position[last])
        yield int(np.argmin(np.abs(along - middle))), action
