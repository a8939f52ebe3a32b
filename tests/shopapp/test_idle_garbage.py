"""A full search for garbage waits until nobody touches the screen."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest

from shopapp.idle_garbage import DUE, IDLE_S, PUT_OFF, IdleGarbage


@pytest.fixture
def searched(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[int]]:
    """How often a full search was made; the usual thresholds come back."""
    made: list[int] = []
    usual = gc.get_threshold()
    monkeypatch.setattr(gc, "collect", lambda: made.append(1))
    yield made
    assert gc.get_threshold() == usual


@pytest.mark.parametrize(
    ("due", "since_s", "searches"), [(DUE, IDLE_S, 1), (DUE, IDLE_S / 2, 0), (DUE - 1, 10 * IDLE_S, 0)]
)
def test_only_where_it_is_due_and_nobody_touches(
    searched: list[int], monkeypatch: pytest.MonkeyPatch, due: int, since_s: float, searches: int
) -> None:
    garbage = IdleGarbage(lambda: since_s)
    garbage.start()
    assert gc.get_threshold()[2] == PUT_OFF
    monkeypatch.setattr(gc, "get_count", lambda: (0, 0, due))
    garbage.look(0.5)
    garbage.stop()
    assert len(searched) == searches
