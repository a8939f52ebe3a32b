"""The demo's filling: how far it is, and that it goes on where it was broken off."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

import core
from shopapp import demo
from shopapp.presenters import responses


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
        wanted = len(demo.missing(shop))
        with pytest.raises(KeyboardInterrupt):
            demo.fill(shop, lambda: datetime.now(UTC), lambda *far: told.append(far))
        assert wanted > 3
        assert told == [(0, wanted), (1, wanted), (2, wanted)]
        demo.fill(shop, lambda: datetime.now(UTC), lambda *far: told_again.append(far))
        assert told_again == [(ready, wanted - 2) for ready in range(wanted - 1)]
        assert len(made) == len(set(made)) == len(shop.parts()) == wanted
        assert demo.missing(shop) == []


def test_the_finished_part_teaches_the_next_one() -> None:
    """It is signed off and in the library, as the app does it; another of its kind can start from it."""
    with core.Shop(core.MemoryFolder()) as shop:
        job, passes = demo.missing(shop)[0]
        demo._worked(shop, lambda: datetime(2030, 5, 17, tzinfo=UTC), job, passes)
        (part,) = shop.parts()
        entries = core.library_from(shop.settings.get(responses.STORED)).entries
        assert entries and {entry.part for entry in entries} == {part.id}
        assert {entry.source for entry in entries} == {f"finished part {demo.FINISHED}"}
        assert core.nearest(entries, core.job(job))
