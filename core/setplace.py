"""Which set of parts alike a part belongs to, and which of them it is."""

from __future__ import annotations

from dataclasses import dataclass

MOST_PARTS = 1000


@dataclass(frozen=True)
class SetPlace:
    """id : any text that the parts of one set share, "" where it is not told; part : from 1, in the order of
    making; of : how many are wanted, None where nobody says"""

    part: int
    of: int | None = None
    id: str = ""
