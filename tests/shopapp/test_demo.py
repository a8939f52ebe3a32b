"""The demo's filling: how far it is, and that it goes on where it was broken off."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

import core
from shopapp import demo


def test_a_filling_that_was_broken_off_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is there stays, what is missing comes, and how far it is counts only that."""
    made: list[str] = []

    def worked(shop: core.Shop, now: Any, job: dict[str, Any], passes: int) -> None:
        if len(made) == 2 and len(told) == 3 and not told_again:
            raise KeyboardInterrupt
        made.append(job["name"])
        shop.new_part(job)

    monkeypatch.setattr(demo, "_worked", worked)
    told: list[tuple[int, int]] = []
    told_again: list[tuple[int, int]] = []
    with core.Shop(core.MemoryFolder()) as shop:
        with pytest.raises(KeyboardInterrupt):
            demo.fill(shop, lambda: datetime.now(UTC), lambda *far: told.append(far))
        assert told == [(0, 5), (1, 5), (2, 5)]
        demo.fill(shop, lambda: datetime.now(UTC), lambda *far: told_again.append(far))
        assert told_again == [(0, 3), (1, 3), (2, 3), (3, 3)]
        assert len(made) == len(set(made)) == len(shop.parts()) == 5
        assert demo.missing(shop) == []
