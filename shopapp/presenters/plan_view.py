"""Where sites lie on the part: its line to scale with them bold, its cross-section or rings beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import numpy as np

import core
from shopapp.presenters import outlines, part_words, profiles, sheet_pictures
from shopapp.presenters.picture_views import Plan

CAPTION = "bold: {}"
QUARTERS = 4
"""stretches of a line that closes, at whose beginnings a number stands"""


def of_sites(job: core.Job, sites: Iterable[int], what: str) -> Plan:
    """sites : from 0; what : is done there, "strike", for the caption"""
    chosen = sorted(set(sites))
    outline = outlines.with_sites(job, _runs(chosen), _named(job, chosen))
    caption = f"{part_words.words_of(job.part).seen}, {CAPTION.format(what)}"
    drawn = (profiles.picture, sheet_pictures.flange, lambda job: sheet_pictures.rings(job, chosen))
    across = next((found for picture in drawn if (found := picture(job)) is not None), None)
    across = None if across is None else replace(across, said=())
    return Plan(replace(outline, factor_text=caption), across)


def _runs(chosen: list[int]) -> list[tuple[int, int]]:
    """First and last of neighbours, drawn together."""
    cuts = [0, *(i + 1 for i, (a, b) in enumerate(pairwise(chosen)) if b > a + 1), len(chosen)]
    return [(chosen[a], chosen[b - 1]) for a, b in pairwise(cuts) if b > a]


def _named(job: core.Job, chosen: list[int]) -> list[int]:
    """Sites whose numbers are written: the only one chosen; else the ends, or those at quarters of a ring."""
    count = len(job.part.sites)
    if len(chosen) == 1:
        return chosen
    if job.part.sites.closed:
        return np.unique(np.linspace(0, count, QUARTERS, endpoint=False).astype(int)).tolist()
    return [0, count - 1]
