"""Sizes of a part at their utmost, and how far the limits of its metal let it go."""

from __future__ import annotations

from dataclasses import dataclass

from core.limits import Limit


@dataclass(frozen=True)
class AtMost:
    """A size of a part at its utmost. what : "tightest radius"; size : with its unit, "96.2 mm" """

    what: str
    size: str


@dataclass(frozen=True)
class Reach:
    """What one action can reach under one limit. site : from 0, the one that asks most of it; sizes : each by
    itself; annealed : with as many anneals in between as it takes, where that makes a difference, else None
    """

    action: str
    site: int
    sizes: tuple[AtMost, ...]
    limit: Limit
    annealed: bool | None = None
