"""Sizes of keys, fit of texts, nothing on top of anything else: measured on every screen in every shape."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

import core
from tests.gui import operator
from tests.gui.screens_of import HELD, about_main_key, complaints_of, main_key

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("held", HELD)
def test_every_screen_holds_its_rules(start: Any, rib: dict[str, Any], held: str) -> None:
    """Keys of 18 mm, number keys of 20 mm, letters of 3.5 mm; no text cut, nothing overlapping.

    The main key is at the lower right corner wherever there is one, and no other key is larger.
    """
    driver = start(HELD[held])
    complaints: dict[str, list[str]] = {}
    with_main = 0
    for label in _tour(driver, rib):
        for page in _pages(driver):
            found = complaints_of(driver) + about_main_key(driver)
            with_main += main_key(driver) is not None
            if found:
                complaints[f"{label}, page {page}"] = found
    assert not complaints, "\n".join(f"{k}: {v}" for k, v in complaints.items())
    assert with_main > 10


def _pages(driver: Any) -> Iterator[int]:
    """Every page of text and of keys of the screen shown, each once, from the one that is shown."""
    count, first = max(driver.screen.pages.count, 1), driver.screen.pages.page
    for page in range(count):
        if page:
            driver.press("further")
            there = driver.screen.pages.page
            assert there == (first + page) % count, f"page {page + 1} of {count} cannot be reached"
        yield page
    if driver.screen.pages.count > 1:
        driver.press("further")
    blocks = driver.screen.keys
    for page in range(1, len(blocks._cells)):
        driver.tap(driver.key_named("more"))
        yield 100 + page
    if len(blocks._cells) > 1:
        driver.tap(driver.key_named("more"))


def _tour(driver: Any, rib: dict[str, Any]) -> Iterator[str]:
    """Through the whole app, stopping wherever a screen looks different."""
    yield "empty bench"
    yield from _tour_of_setup(driver)
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    yield "part, busy"
    driver.settle()
    yield "part"
    driver.press("next")
    yield "cautions"
    driver.press("understood")
    yield from _tour_of_pass(driver)
    bar = core.simulated_bar(session.job, 5)
    planned = session.advice.next_pass
    bar.work(planned.action, planned.bite, [int(m) for m in planned.strokes])
    driver.press("done")
    yield from _tour_of_gaps(driver, bar.gaps())
    driver.press("all")
    yield "next, busy"
    driver.settle()
    yield "next"
    yield from _tour_of_bow(driver)
    driver.app.navigation.go("part")
    yield "part, one pass read"
    driver.app.navigation.go("finish")
    yield from _tour_of_finish(driver)
    yield from _tour_of_settings(driver)
    driver.app.navigation.go("bench")
    yield "bench"
    yield from _tour_of_job_files(driver, rib)


def _tour_of_settings(driver: Any) -> Iterator[str]:
    """The ruler's line, and who works: nobody, one being typed, a long name among several."""
    driver.app.navigation.go("display")
    yield "display"
    operator.touch_digits(driver, "48")
    yield "display, typed"
    for _ in "48":
        driver.press("erase")
    driver.press("who")
    yield "who works, nobody"
    for name in ("B. Checker", "Zoë Łęcka", "C. Bender of the night shift, second bay"):
        driver.app.navigation.go("who")
        driver.press("field:name")
        driver.screen.typed(name)
        driver.idle()
        yield f"who works, {name} typed"
        driver.press("enter")
    driver.app.navigation.go("who")
    driver.idle()
    yield "who works"
    driver.app.navigation.go("display")
    driver.idle()
    yield "display, somebody works"


def _tour_of_job_files(driver: Any, rib: dict[str, Any]) -> Iterator[str]:
    """An empty folder, one being looked through, one with a mistake in it, and what is taken."""
    driver.press("jobs")
    yield "job files, none"
    at = datetime(2026, 3, 14, 15, 9, tzinfo=UTC)
    jobs = {f"rib {i}.json": core.write_document({**rib, "name": f"Rib {i}"}, []) for i in range(12)}
    texts = {"a file with a long name of its own.json": "{", **jobs}
    files = {name: (at, text.encode()) for name, text in texts.items()}
    driver.app.session.folders.jobs.files = files
    driver.screen.press("again")
    driver.idle()
    yield "job files, busy"
    driver.settle()
    for label, key in (("mistake", "open:0"), ("list", "list"), ("job", "open:3"), ("take", "take")):
        yield f"job files, before {label}"
        driver.screen.press(key)
        driver.idle()
    yield "job files, taken"


def _tour_of_setup(driver: Any) -> Iterator[str]:
    driver.press("new")
    yield "setup, job"
    driver.press("field:name")
    yield "setup, name typed"
    operator.touch_letters(driver, "rib")
    driver.press("enter")
    yield from _tour_of_metal(driver)
    for step in ("line", "section", "tool", "machine", "stations", "checks"):
        driver.screen.press(f"step:{step}")
        driver.idle()
        yield f"setup, {step}"
        for field in [f.name for f in driver.screen.view.fields]:
            driver.screen.press(f"field:{field}")
            driver.idle()
            yield f"setup, {field}"
        driver.screen.choose("")
    yield from _tour_of_own_check(driver)
    driver.screen.press("step:section")
    driver.screen.press("step:tool")
    driver.screen.press("field:tool.name")
    driver.screen.typed("ribs")
    driver.screen.choose("")
    driver.screen.press("keep:tools")
    driver.idle()
    yield "setup, tool set kept"
    driver.screen.press("step:line")
    for form in ("segments", "offsets", "traced", "chord", "angle", "length"):
        driver.screen.press(f"choose:form={form}")
        driver.idle()
        yield f"setup, line by {form}"
    yield from _tour_of_line_files(driver)
    driver.screen.press("choose:form=length")
    driver.screen.press("field:line.radius")
    driver.screen.typed("5")
    driver.idle()
    yield "setup, wrong radius"
    driver.screen.press("step:plan")
    driver.idle()
    yield "setup, plan of an incomplete form"
    driver.screen.press("clear")
    driver.app.navigation.go("bench")
    yield from _tour_of_trial(driver)


def _tour_of_own_check(driver: Any) -> Iterator[str]:
    """One that is not known, every field of it, put on the list."""
    driver.screen.press("step:checks")
    driver.screen.press("own_check")
    driver.screen.press("choose:what=")
    driver.idle()
    yield "own check"
    for field in [f.name for f in driver.screen.view.fields]:
        driver.screen.press(f"field:{field}")
        driver.idle()
        yield f"own check, {field}"
        driver.screen.choose("")
    driver.screen.press("choose:what=twist")
    driver.screen.press("add")
    driver.idle()
    yield "setup, a check put on the list"
    driver.screen.press("row_drop:0")


def _tour_of_line_files(driver: Any) -> Iterator[str]:
    """The list, a file that cannot be used, one without a unit, and the line in it."""
    driver.screen.press("file")
    driver.idle()
    yield "line files, none"
    table = "".join(f"{i},{i * i / 40}\n" for i in range(60))
    texts = {"a.csv": "x mm;y mm\n0;0\n1;nan\n", "b.csv": table}
    at = datetime(2026, 3, 14, 15, 9, tzinfo=UTC)
    driver.app.session.folders.lines.files = {name: (at, text.encode()) for name, text in texts.items()}
    for label, key in (
        ("list", "again"),
        ("mistake", "open:0"),
        ("list again", "list"),
        ("unit", "open:1"),
        ("line", "unit:mm"),
        ("traced", "traced"),
    ):
        driver.screen.press(key)
        driver.idle()
        yield f"line files, {label}"
    driver.screen.press("take")
    driver.idle()
    yield "setup, a long table from a file"
    driver.screen.press("original")
    driver.idle()
    yield "original, empty"
    driver.screen.press("field:length")
    driver.screen.typed("500")
    for i in range(6):
        driver.screen.choose(f"read[0][{i}]")
        driver.screen.typed(f"{i * (5 - i)}")
    driver.idle()
    yield "original, a reading"
    driver.screen.choose("")
    driver.idle()
    yield "original, measured"
    driver.screen.press("by:traced points")
    driver.idle()
    yield "original, traced"
    driver.screen.press("by:straight edge")
    driver.screen.press("another")
    for i in range(6):
        driver.screen.choose(f"read[0][{i}]")
        driver.screen.typed(f"{1.1 * i * (5 - i):.1f}")
    driver.screen.choose("")
    driver.screen.press("beside")
    driver.idle()
    yield "originals"
    driver.screen.back()
    driver.screen.back()


def _tour_of_metal(driver: Any) -> Iterator[str]:
    """The figures of the metal that is picked."""
    driver.screen.press("step:section")
    driver.press("metal")
    assert driver.app.navigation.name == "metal"
    yield "metal"
    driver.screen.press("own")
    driver.idle()
    yield "own figures"
    driver.screen.press("field:n")
    driver.screen.typed("3")
    driver.idle()
    yield "own figures, one that cannot be"
    driver.screen.choose("")
    driver.idle()
    yield "own figures, marked"
    driver.app.navigation.go("metal")
    driver.press("back")
    driver.idle()


def _tour_of_trial(driver: Any) -> Iterator[str]:
    """From the plan of a whole form to a trial, and back to a plan that starts from it."""
    operator.fill_in(driver)
    driver.settle()
    yield "setup, plan"
    driver.screen.press("trial")
    driver.idle()
    yield "trial, cautions first"
    driver.screen.press("cautions")
    for _ in range(driver.screen.pages.count - 1):
        driver.screen.press("further")
    driver.screen.press("understood")
    driver.idle()
    assert driver.app.navigation.name == "trial" and driver.screen.view.strip is not None
    yield "trial"
    driver.screen.press("action:stretch")
    driver.screen.press("bite:heavy")
    driver.idle()
    yield "trial, stretch"
    driver.screen.press("action:shrink")
    driver.screen.press("gauge")
    driver.idle()
    yield "trial, gauge"
    driver.screen.press("choose:taper gauge")
    driver.press("read")
    yield "trial, rise"
    operator.touch_digits(driver, "99")
    yield "trial, typed"
    driver.press("enter")
    yield "trial, refused"
    for _ in "99":
        driver.press("erase")
    operator.touch_digits(driver, "4.5")
    driver.press("enter")
    assert driver.screen.view.answer, driver.screen.view.complaint
    yield "trial, answer"
    driver.press("keep")
    yield "trial, kept"
    driver.press("back")
    driver.settle()
    assert driver.screen.view.start_from
    yield "setup, plan from a trial"
    driver.screen.press("known")
    driver.settle()
    yield "setup, plan without the trial"
    driver.screen.press("clear")
    driver.app.navigation.go("bench")


def _tour_of_pass(driver: Any) -> Iterator[str]:
    yield "pass card"
    driver.press("pacer")
    yield "pass card, pacer"
    driver.press("stop")
    driver.press("differently")
    yield "pass card, by station"
    driver.press("by_zone")
    yield "pass card, by zone"
    driver.press("cancel")


def _tour_of_gaps(driver: Any, gaps: list[Any]) -> Iterator[str]:
    driver.settle()
    yield "gaps, leaves"
    driver.press("pad")
    yield "gaps, pad"
    operator.touch_digits(driver, "0.3")
    yield "gaps, typed"
    driver.press("enter")
    if driver.screen.view.question:
        driver.press("right")
    operator.touch_digits(driver, "14.9")
    driver.press("enter")
    yield f"gaps, {'doubt' if driver.screen.view.question else 'no doubt'}"
    if driver.screen.view.question:
        driver.press("again")
        yield "gaps, again"
    driver.press("leaves")
    for what in ("gauge", "template"):
        driver.press(what)
        yield f"gaps, {what} chosen"
        driver.press(what)
    while driver.screen.view.strip.current is not None:
        gap = gaps[driver.screen.view.strip.current]
        operator.read_gap(driver, gap)
    yield "gaps, all read"


def _tour_of_bow(driver: Any) -> Iterator[str]:
    """The bow, with and without counter-work, and Next with a bow just read."""
    driver.press("bow")
    yield "bow, sides"
    driver.app.session.counter_shown = True
    driver.screen.open()
    driver.idle()
    yield "bow, counter-work to be answered for"
    driver.press("countered")
    yield "bow, counter-work done"
    driver.press("side:1")
    yield "bow, size"
    operator.touch_digits(driver, "999")
    driver.press("enter")
    yield "bow, refused"
    for _ in "999":
        driver.press("erase")
    operator.touch_digits(driver, "2.5")
    driver.press("enter")
    assert driver.app.navigation.name == "next_step"
    yield "next with a bow, busy"
    driver.settle()
    assert driver.screen.view.last
    yield "next with a bow"


def _tour_of_finish(driver: Any) -> Iterator[str]:
    yield "finish"
    driver.press("row:twist")
    yield "finish, twist"
    operator.touch_digits(driver, "99")
    driver.press("enter")
    yield "finish, after a value"
    driver.screen.choose("")
    at = driver.app.session.now()
    files = {f"{i}.jpg": (at - timedelta(hours=9 * i), b"") for i in range(4)}
    driver.app.session.folders.photos.files = files
    driver.press("row:surface marks")
    driver.screen.press("photo:1.jpg")
    driver.idle()
    yield "finish, surface marks"
    driver.screen.choose("")
    driver.press("field:who")
    yield "finish, who"
    operator.touch_letters(driver, "operator")
    driver.screen.choose("")
    driver.idle()
    yield "finish, named"
    driver.app.session.log(
        core.signed_off("operator", verdicts={"gaps": "outside"}, values={"gaps": "1.20 mm"})
    )
    driver.screen.open()
    driver.idle()
    yield "finish, signed"
    driver.press("reopen")
    yield "finish, taken up again"
