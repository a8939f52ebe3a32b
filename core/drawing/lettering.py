"""What is written on a template: a block of lines that fits the place there is."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap

HEIGHTS_MM = (5.0, 4.0, 3.5, 3.0, 2.5, 2.0, 1.5, 1.0)  # of capitals, the first that fits is taken
WIDTH, SPACING = 0.9, 1.7  # of a letter and of a line, over the height of a capital: on the safe side


@dataclass(frozen=True)
class Label:
    """One line of text; at_mm : its left end on the base line, or its middle where it is centred."""

    text: str
    at_mm: tuple[float, float]
    height_mm: float
    centred: bool = False


def lettered(
    sentences: list[str], left_mm: float, top_mm: float, width_mm: float, depth_mm: float
) -> tuple[Label, ...]:
    """Sentences, each beginning a line, in a place of this width and depth; letters as large as fit."""
    for height in HEIGHTS_MM:
        lines = _wrapped(sentences, height, width_mm)
        if len(lines) * SPACING * height <= depth_mm:
            break
    return tuple(
        Label(line, (left_mm, top_mm - (k + 1) * SPACING * height), height) for k, line in enumerate(lines)
    )


def _wrapped(sentences: list[str], height_mm: float, width_mm: float) -> list[str]:
    letters = max(4, int(width_mm / (WIDTH * height_mm)))
    return [line for sentence in sentences for line in wrap(sentence, letters)]
