"""What the shop owns at the screen: its rules in every shape, forgetting by touch and by keyboard; a trial
that is taken up by the part that lies open."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

import core
from core.known import Known
from tests.gui.screens_of import HELD, SIZES, about_main_key, complaints_of

pytestmark = pytest.mark.gui

# All of it invented.
METAL = {"name": "dome sheet", "like": "aluminium 5754-O", "proof": "95 MPa", "tensile": "200 MPa"}
LIMITS = {"name": "dome sheet", "strain_per_pass": "2 %"}
TOOL = {
    **{"name": "ribs", "patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": "0.4 %"},
    **{"bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8}, "free_length": "5 mm"},
}
MACHINE = {"name": "bench machine", "throat": "120 mm", "rated_thickness": "2 mm"}
KEPT = {"metals": [METAL], "limits": [LIMITS], "tools": [TOOL], "machines": [MACHINE]}
TRIAL = Known(
    *("aluminium 5754-O", 1.5, 20.0, 15.0, "gripping", "shrink", "medium", 1.0, 6.0, 0.0036, 0.06),
    *("trial on an offcut", date(2026, 3, 2)),
)
OLDER = [
    replace(
        TRIAL,
        day=date(2025, 5, n),
        source="finished part Observatory rib, upper half",
        part=f"p{n}",
        bite=bite,
    )
    for n, bite in enumerate(("light", "medium", "heavy"), 1)
]


def full_shop() -> core.Shop:
    shop = core.Shop(core.MemoryFolder())
    shop.settings.set("owned", core.owned_from(KEPT).document)
    shop.settings.set("responses", list(core.Library().adding([TRIAL, *OLDER]).stored))
    return shop


@pytest.mark.parametrize("held", HELD)
def test_it_holds_the_rules_of_the_surface(start: Any, held: str) -> None:
    """The lists, empty and full, each thing and the question, on every page."""
    wrong: dict[str, list[str]] = {}
    for name, shop in (("empty", None), ("full", full_shop())):
        driver = start(HELD[held], shop)
        driver.press("owned")
        for group in ("metals", "tools", "machines", "responses"):
            driver.press(f"show:{group}")
            _look(driver, wrong, f"{name}, {group}")
            if shop is not None:
                for touched in ("open:0", "forget"):
                    driver.press(touched)
                    _look(driver, wrong, f"{group}, {touched}")
                driver.press("keep_it")
                driver.press("list")
        driver.stop()
    assert not wrong, wrong


def _look(driver: Any, wrong: dict[str, list[str]], where: str) -> None:
    for page in range(driver.screen.pages.count):
        found = complaints_of(driver) + about_main_key(driver)
        if found:
            wrong[f"{where}, page {page}"] = found
        if driver.screen.pages.count > 1:
            driver.press("further")


def test_one_is_forgotten_by_touch_and_one_by_keyboard(start: Any) -> None:
    """Enter alone keeps it: the main key is the careful one."""
    shop = full_shop()
    driver = start(SIZES["7 inch"], shop)
    driver.press("owned")
    for name in ("show:tools", "open:0", "forget", "forget_it"):
        driver.press(name)
    assert core.owned_from(shop.settings.get("owned")).tools == {}
    driver.press("show:machines")
    _focus(driver, "open:0")
    driver.key("enter")
    _focus(driver, "forget")
    driver.key("enter")
    assert driver.screen.header.note == "Forget machine bench machine?"
    driver.screen.lose_focus()
    driver.key("enter")
    assert driver.screen.view.question == "" and core.owned_from(shop.settings.get("owned")).machines
    _focus(driver, "forget")
    driver.key("enter")
    _focus(driver, "forget_it")
    driver.key("enter")
    assert core.owned_from(shop.settings.get("owned")).machines == {}
    driver.key("escape")
    assert driver.app.navigation.name == "bench"


def _focus(driver: Any, name: str) -> None:
    """Tab until a key has the focus."""
    for _ in range(20):
        driver.key("tab")
        if driver.screen._focus == (name, 0):
            return
    raise AssertionError(f"no focus on {name}")


def test_back_leads_to_the_list_and_change_to_the_metal_and_back(start: Any) -> None:
    driver = start(SIZES["10 inch"], full_shop())
    driver.press("owned")
    driver.press("open:0")
    driver.press("change")
    assert driver.app.navigation.name == "own_metal"
    driver.key("escape")
    assert driver.app.navigation.name == "inventory" and not driver.screen.view.listing
    driver.key("escape")
    assert driver.app.navigation.name == "inventory" and driver.screen.view.listing
    driver.press("open:1")
    driver.key("escape")
    driver.key("escape")
    driver.press("owned")
    assert driver.screen.view.listing


def unsure(advice: core.Advice) -> float:
    """Of what the next pass is to close, the share that is not known."""
    planned = advice.next_pass
    assert planned is not None
    return float(planned.expected_gap_sd_mm / (advice.widest_gap_mm - planned.expected_gap_mm))


@pytest.mark.parametrize("held", ["7 inch, landscape", "7 inch, portrait"])
def test_a_part_takes_up_a_trial_by_one_touch(start: Any, rib: dict[str, Any], held: str) -> None:
    """The first pass is known better by it; undo takes it back."""
    driver = start(HELD[held], full_shop())
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    driver.settle()
    before = unsure(session.advice)
    driver.press("start_from")
    driver.settle()
    assert unsure(session.advice) < 0.6 * before
    assert [e["event"] for e in session.shop.open(session.part_id).events] == ["trial_taken"]
    wrong: dict[str, list[str]] = {}
    _look(driver, wrong, "part")
    assert not wrong, wrong
    driver.press("undo")
    driver.settle()
    assert driver.screen.presenter.view().warnings != ()
