"""One writer a folder, and nobody locked out by a program that is gone."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from core.errors import ShopInUse, StoreError
from core.store import Shop

SHOP = Callable[[], Shop]
HOLD = """
import sys
from core.store import Shop
shop = Shop(sys.argv[1])
print("open", flush=True)
sys.stdin.read()
"""
ROOT = str(Path(__file__).parents[2])


@pytest.fixture
def holder(data: Path) -> subprocess.Popen[str]:
    """Another program that has the shop open."""
    program = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(data)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": ROOT},
    )
    assert program.stdout is not None
    assert program.stdout.readline() == "open\n"
    yield program
    program.kill()
    program.communicate()


def test_a_second_program_is_refused(data: Path, holder: subprocess.Popen[str]) -> None:
    with pytest.raises(ShopInUse) as refused:
        Shop(data)
    assert refused.value.path == str(data)
    assert f"(process {holder.pid})" in str(refused.value)


def test_the_lock_of_a_killed_program_is_taken_over(data: Path, holder: subprocess.Popen[str]) -> None:
    holder.kill()
    holder.wait()
    assert (data / "shop.lock").exists()
    with Shop(data) as shop:
        assert shop.parts() == []


def test_a_second_shop_in_the_same_program_is_refused(data: Path, opened: SHOP) -> None:
    first = opened()
    with pytest.raises(ShopInUse):
        Shop(data)
    first.new_part({"name": "rib"})
    first.close()
    assert len(opened().parts()) == 1


def test_closing_twice_does_not_free_the_next_one(data: Path, opened: SHOP) -> None:
    first = opened()
    first.close()
    opened()
    first.close()
    with pytest.raises(ShopInUse):
        Shop(data)


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("a file where the folder should be")
    with pytest.raises(StoreError, match="data folder cannot be made"):
        Shop(tmp_path / "data")


def test_an_opening_that_fails_lets_go_of_the_lock(
    data: Path, opened: SHOP, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patched, pytest.raises(StoreError, match="cannot be read"):
        patched.setattr("os.scandir", _refusing)
        Shop(data)
    assert opened().parts() == []


def _refusing(path: object) -> object:
    raise PermissionError(13, "Permission denied", str(path))
