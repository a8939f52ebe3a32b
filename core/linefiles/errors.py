"""What is said of a file that cannot be used: always with the line of the file."""

from __future__ import annotations

from typing import Any

from core.errors import InputError
from core.units import format_length

LINE_UNITS = ("mm", "cm", "m", "in", "ft")
"""units that are offered where the file says none; any other unit of length is understood as well"""

LARGE_MM = 10_000.0  # from here on a size is told in m


class UnitWanted(InputError):
    """The file does not say its unit. extent : of the points, width and height, in that unit."""

    def __init__(self, place: str, found: str, extent: tuple[float, float]) -> None:
        wide, high = (f"{size:.6g}" for size in extent)
        wanted = f"say the unit, one of {', '.join(LINE_UNITS)}; the points reach over {wide} by {high} of it"
        super().__init__(place, found, wanted)
        self.args = (place, found, extent)
        self.extent = extent

    def __str__(self) -> str:
        return f"{self.field}: {self.expected}"

    def size_in(self, factor: float) -> str:
        """How wide and high it would be where one unit is ``factor`` mm, "1200.0 mm by 60.00 mm", or in m."""
        sizes = [factor * size for size in self.extent]
        if max(sizes) < LARGE_MM:
            return " by ".join(map(format_length, sizes))
        return " by ".join(f"{float(f'{size / 1000.0:.3g}'):g} m" for size in sizes)


def at_line(name: str, line: int) -> str:
    """The field of an error: the file and its line, counted from 1; 0 where that is not known."""
    return f"{name}, line {line}" if line else name


def wrong_at(name: str, line: int, found: Any, wanted: str) -> InputError:
    """An error at a line of a file."""
    return InputError(at_line(name, line), found, wanted)
