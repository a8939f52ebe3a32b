"""Nothing acknowledged is lost: killed at any moment, stopped at any step, disk full at any step."""

from __future__ import annotations

import errno
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from core.errors import StoreError
from core.store import Shop

SHOP = Callable[[], Shop]
ROOT = str(Path(__file__).parents[2])
STEPS = ("fsync", "link", "replace")
LOGGER = """
import sys
from core.store import Shop
with Shop(sys.argv[1]) as shop:
    parts = [card.id for card in shop.parts()] or [shop.new_part({"name": f"rib {i}"}) for i in range(3)]
    print("open", flush=True)
    while True:
        for part_id in parts:
            event = shop.open(part_id).append({"event": "note", "text": "x" * 400}, summary={"n": 1})
            print(part_id, event["id"], flush=True)
"""
FILLER = """
import resource, signal, sys
from core.store import Shop
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
with Shop(sys.argv[1]) as shop:
    part = shop.open(shop.parts()[0].id)
    resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000))
    try:
        while True:
            print(part.append({"event": "note", "text": "x" * 400})["id"], flush=True)
    except OSError as error:
        print(type(error).__name__, error, file=sys.stderr)
"""


def note(text: str) -> dict[str, Any]:
    return {"event": "note", "text": text}


def started(program: str, data: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", program, str(data)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": ROOT},
    )


@pytest.mark.parametrize("seed", range(8))
def test_killed_at_a_random_moment(data: Path, seed: int) -> None:
    """Every line that the killed program got out is found again, in order; at most one more is there."""
    chance = random.Random(seed)
    acknowledged: dict[str, list[str]] = {}
    for _ in range(2):  # the second program goes on where the first was killed
        program = started(LOGGER, data)
        assert program.stdout is not None
        assert program.stdout.readline() == "open\n"
        time.sleep(chance.uniform(0.0, 0.15))
        program.kill()
        # Not communicate(): it passes over what readline() has already taken into its buffer.
        out = program.stdout.read()
        program.communicate()
        for line in out.splitlines():
            if len(line) == 65:  # the last line may be torn
                part_id, event_id = line.split()
                acknowledged.setdefault(part_id, []).append(event_id)
        with Shop(data) as shop:
            assert shop.damaged() == []
            assert len(shop.parts()) == 3
            more = 0
            for card in shop.parts():
                kept = [event["id"] for event in shop.open(card.id).events]
                known = acknowledged.setdefault(card.id, [])
                assert kept[: len(known)] == known
                assert card.event_count == len(kept)
                more += len(kept) - len(known)
                acknowledged[card.id] = kept
            assert more <= 1
            assert not list(data.rglob("*.new"))
    assert sum(map(len, acknowledged.values())) > 0


class Stop(BaseException):
    """The power goes: nothing runs after it, no cleaning up either."""


class Steps:
    """Lets so many steps of the operating system through, then fails."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.left = 10**9
        self.error: BaseException = Stop()
        self.taken: list[str] = []
        for name in STEPS:
            patch.setattr(os, name, self._step(name, getattr(os, name)))

    def _step(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def step(*given: Any, **named: Any) -> Any:
            if self.left == 0:
                raise self.error
            self.left -= 1
            self.taken.append(
                name + "".join(" " + Path(g).suffix for g in given if isinstance(g, os.PathLike))
            )
            return real(*given, **named)

        return step


@pytest.fixture
def steps() -> Iterator[Steps]:
    with pytest.MonkeyPatch.context() as patch:
        yield Steps(patch)


def test_the_order_of_steps(opened: SHOP, steps: Steps) -> None:
    """Contents are on the disk before they get their name, and the name before the call returns."""
    part_id = opened_part(opened)
    part = opened().open(part_id)
    steps.taken.clear()
    part.append(note("one"))
    assert steps.taken == ["fsync", "link .json .new", "replace .new .last", "replace .new .json", "fsync"]


def opened_part(opened: SHOP) -> str:
    with opened() as shop:
        return shop.new_part({"name": "rib"})


@pytest.mark.parametrize("allowed", range(5))
def test_stopped_between_any_two_steps(opened: SHOP, steps: Steps, data: Path, allowed: int) -> None:
    part_id = opened_part(opened)
    shop = opened()
    kept = [shop.open(part_id).append(note(str(i))) for i in range(3)]
    steps.left = allowed
    with pytest.raises(Stop):
        shop.open(part_id).append(note("never acknowledged"))
    steps.left = 10**9
    shop.close()
    again = opened()
    assert again.damaged() == []
    events = again.open(part_id).events
    assert events[:3] == kept
    assert [event["text"] for event in events[3:]] == ["never acknowledged"] * (allowed >= 4)
    for i in range(3):
        again.open(part_id).append(note(str(i)))
        assert not list(data.rglob("*.new"))
    again.close()
    assert len(opened().open(part_id).events) == len(events) + 3


@pytest.mark.parametrize("allowed", range(5))
def test_disk_full_at_any_step(opened: SHOP, steps: Steps, data: Path, allowed: int) -> None:
    part_id = opened_part(opened)
    shop = opened()
    part = shop.open(part_id)
    kept = [part.append(note(str(i))) for i in range(3)]
    steps.left, steps.error = allowed, OSError(errno.ENOSPC, "No space left on device")
    with pytest.raises(StoreError, match="No space left on device") as full:
        part.append(note("refused"))
    assert full.value.path == str(data / "parts" / f"{part_id}.json")
    assert part.events == kept
    assert part.card.event_count == 3
    assert bool(list(data.rglob("*.json.new"))) == (1 <= allowed <= 3)  # a torn one is not left lying
    steps.left = 10**9
    kept.append(part.append(note("room again")))
    shop.close()
    assert opened().open(part_id).events == kept


@pytest.mark.parametrize("allowed", range(5))
def test_settings_that_could_not_be_kept_do_not_count(opened: SHOP, steps: Steps, allowed: int) -> None:
    shop = opened()
    shop.settings.set("palette", "dim shop")
    steps.left, steps.error = allowed, OSError(errno.ENOSPC, "No space left on device")
    with pytest.raises(StoreError, match="No space left on device"):
        shop.settings.set("palette", "bright shop")
    assert shop.settings.all() == {"palette": "dim shop"}


@pytest.mark.parametrize("allowed", range(5))
def test_a_new_part_that_fails_is_not_half_there(opened: SHOP, steps: Steps, allowed: int) -> None:
    shop = opened()
    first = shop.new_part({"name": "rib"})
    steps.left = allowed
    with pytest.raises(Stop):
        shop.new_part({"name": "never acknowledged"})
    steps.left = 10**9
    shop.close()
    again = opened()
    assert again.damaged() == []
    assert first in {card.id for card in again.parts()}
    assert len(again.parts()) == 1 + (allowed >= 2)


def test_where_there_are_no_hard_links(opened: SHOP, data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Memory cards formatted as FAT know none: the copy is then made byte by byte."""

    def refused(*_: Any, **__: Any) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    part_id = opened_part(opened)
    part = opened().open(part_id)
    path = data / "parts" / f"{part.id}.json"
    for i in range(3):
        before = path.read_bytes()
        part.append(note(str(i)))
        assert path.with_name(path.name + ".last").read_bytes() == before
    assert not list(data.rglob("*.new"))


@pytest.mark.skipif(sys.platform == "win32", reason="limits on the size of files are POSIX")
def test_a_file_that_may_grow_no_more(opened: SHOP, data: Path) -> None:
    """A real refusal by the operating system in the middle of writing, not a pretended one."""
    part_id = opened_part(opened)
    out, err = started(FILLER, data).communicate(timeout=60)
    assert err.startswith("StoreError")
    assert "what was recorded before is unchanged" in err
    acknowledged = out.split()
    assert len(acknowledged) > 50
    shop = opened()
    assert [event["id"] for event in shop.open(part_id).events] == acknowledged
    assert shop.damaged() == []


def test_a_restore_that_stops_half_way_can_be_done_again(opened: SHOP, steps: Steps, data: Path) -> None:
    part_id = opened_part(opened)
    with opened() as shop:
        kept = [shop.open(part_id).append(note(str(i))) for i in range(3)]
    (data / "parts" / f"{part_id}.json").write_bytes(b"")
    for allowed in range(6):
        shop = opened()
        steps.left = allowed
        if not shop.damaged():
            break
        with pytest.raises(Stop):
            shop.restore(part_id)
        steps.left = 10**9
        shop.close()
    assert allowed >= 3
    assert shop.open(part_id).events[:2] == kept[:2]
