"""What is said where something could not be written: no names of files, what happened, what to do."""

from __future__ import annotations

from errno import EACCES, EIO, ENOENT, ENOSPC, EROFS
from os import strerror
from pathlib import Path

import pytest

import core
from shopapp.presenters import unwritten


def failed(number: int) -> core.StoreError:
    """As the store raises it from an error of the system."""
    try:
        try:
            raise OSError(number, strerror(number), "/home/shop/parts/a1b2.json")
        except OSError as error:
            raise core.StoreError("/home/shop/parts/a1b2.json", "the file cannot be written") from error
    except core.StoreError as error:
        return error


@pytest.mark.parametrize(
    "number, told",
    [
        (ENOSPC, "the disk is full. Make room on it, then touch again."),
        (EACCES, "this user may not write in the shop's folder. Have that allowed, then touch again."),
        (EROFS, "the disk can only be read. Have it made writable, then touch again."),
        (ENOENT, "the shop's folder is gone. Plug its disk in, or bring it back, then touch again."),
        (EIO, f"the disk did not take it ({strerror(EIO)}). Look after it, then touch again."),
    ],
)
def test_what_happened_and_what_to_do_without_names_of_files(number: int, told: str) -> None:
    assert unwritten.sentence(failed(number)) == f"Not written: {told}"


def test_a_folder_that_is_gone_is_told_by_the_store_itself(tmp_path: Path) -> None:
    """The store's own error carries the system's number."""
    shop = core.Shop(tmp_path / "shop")
    part = shop.open(shop.new_part({"name": "Rib"}))
    for path in sorted((tmp_path / "shop").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    with pytest.raises(core.StoreError) as caught:
        part.append(core.note("x"))
    told = unwritten.sentence(caught.value)
    assert told.startswith("Not written: ") and str(tmp_path) not in told and ".json" not in told


def test_other_reasons_are_told_too() -> None:
    assert "another program" in unwritten.sentence(core.ShopInUse("/shop", "in use"))
    assert "bench" in unwritten.sentence(core.DamagedDocument("/shop/a.json", "does not match"))
    closed = unwritten.sentence(core.StoreError("/shop/a.json", "the shop was closed"))
    assert closed == "Not written: the shop was closed. When that is mended, touch again."
    wrong = core.InputError("record.title", "x", "a plain name is wanted")
    assert unwritten.told(wrong) == "Not written: “x”: a plain name is wanted"
