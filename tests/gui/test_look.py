"""Who is told when palette or density change, and for how long."""

from __future__ import annotations

import gc
from typing import Any

import pytest

pytestmark = pytest.mark.gui


class Follower:
    """Counts what it was told."""

    def __init__(self) -> None:
        self.told: list[Any] = []

    def hear(self, *args: Any) -> None:
        self.told.append(args[-1])


def test_followers_are_told_once_each_and_only_of_what_they_follow() -> None:
    from shopapp.widgets.look import Look

    look, one, other = Look(), Follower(), Follower()
    look.follow(px_per_mm=one.hear)
    look.follow(px_per_mm=one.hear, palette=other.hear)
    look.px_per_mm = 6.5
    assert (one.told, other.told) == ([6.5], [])


def test_what_follows_does_not_live_longer_for_it() -> None:
    from shopapp.widgets.look import Look

    look, one, other = Look(), Follower(), Follower()
    look.follow(px_per_mm=one.hear)
    look.follow(px_per_mm=other.hear)
    del one
    gc.collect()
    assert len(look._followers["px_per_mm"]) == 1
    look.px_per_mm = 7.0
    assert other.told == [7.0]
