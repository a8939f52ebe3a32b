"""A photo of a check, by touch or by its name: it is on disk with the reading."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

import core
from tests.gui import operator
from tests.gui.screens_of import SIZES

pytestmark = pytest.mark.gui


def at_marks(start: Any, rib: dict[str, Any]) -> Any:
    """The finish check, surface marks in hand, two photos in the folder."""
    driver = start(SIZES["10 inch"])
    session = driver.app.session
    session.open(session.shop.new_part({**rib, "checks": ["surface marks"]}))
    session.log(core.gaps_read([0.2] * 12))
    now = session.now()
    session.folders.photos.files = {f"{i}.jpg": (now - timedelta(seconds=i), b"") for i in range(2)}
    driver.app.navigation.go("finish")
    driver.settle()
    driver.press("row:surface marks")
    return driver


def photos(driver: Any) -> list[str]:
    """Of the checks in the store's own log."""
    session = driver.app.session
    log = session.shop.open(session.part_id).events
    return [event.get("photo", "") for event in log if event["event"] == "check_read"]


def test_the_newest_one_is_taken_at_a_touch(start: Any, rib: dict[str, Any]) -> None:
    driver = at_marks(start, rib)
    driver.press("photo:1.jpg")
    driver.press("value:none")
    assert photos(driver) == ["photos/1.jpg"]


def test_one_that_is_typed_is_kept_until_the_reading(start: Any, rib: dict[str, Any]) -> None:
    driver = at_marks(start, rib)
    driver.press("field:photo")
    operator.touch_letters(driver, "rib")
    driver.press("enter")
    driver.press("value:none")
    assert photos(driver)[0].casefold() == "rib"
