"""What is said of a verdict, and of how sure it is."""

from __future__ import annotations

from math import isnan

import core
from shopapp.presenters.pieces import OK, OVER, TODO

VERDICTS = {
    "within": ("Within tolerance", OK),
    "outside": ("Outside tolerance", OVER),
    "too close to call": ("Too close to call", TODO),
    "not measured": ("Not measured yet", TODO),
}

IN_DOUBT = "In doubt"
"""what a verdict is while readings that it would go by are asked for again"""

CHECKED = {"within": OK, "outside": OVER, "too close to call": TODO}
"""state of a measured value by its verdict against its limits"""


def of(advice: core.Advice) -> tuple[str, str]:
    """Words and state of a verdict; one that readings in doubt would have to bear out is none."""
    if advice.doubts or (advice.suspects and advice.verdict == "too close to call"):
        return IN_DOUBT, TODO
    return VERDICTS[advice.verdict]


def chance(probability: float) -> str:
    """A probability in words that do not promise more than is known, "87 %", "more than 99 %"; NaN while
    readings are in doubt."""
    if isnan(probability):
        return "not known, readings are in doubt"
    per_cent = round(100 * probability)
    if per_cent > 99:
        return "more than 99 %"
    return "less than 1 %" if per_cent < 1 else f"{per_cent} %"
