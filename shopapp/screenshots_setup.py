"""Pictures of a new part as it is set up, for :mod:`shopapp.screenshots`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any


def setup(driver: Any) -> Iterator[str]:
    """A new part as it is being typed."""
    driver.press("new")
    screen = driver.screen
    for field, text in (("name", "Shutter rib 4"),):
        screen.press(f"field:{field}")
        screen.typed(text)
    yield "setup-name"
    screen.press("step:line")
    for field, text in (("line.radius", "1500"), ("line.length", "1200")):
        screen.press(f"field:{field}")
        screen.typed(text)
    yield "setup-number"
    screen.choose("")
    yield "setup-line"
    screen.press("step:section")
    yield "setup-section"
    screen.press("field:shape")
    yield "setup-choice"
    screen.choose("")
    screen.press("step:line")
    screen.press("choose:form=offsets")
    yield "setup-offsets"
    yield from _line_files(driver)
    screen.press("choose:form=length")
    screen.press("step:section")
    for field, text in (("section.worked", "40"), ("section.other", "40"), ("section.thickness", "1.5")):
        screen.press(f"field:{field}")
        screen.typed(text)
    yield "setup-thickness"
    screen.choose("")
    yield "setup-sizes"
    yield from _metal(driver)
    yield from _tool(driver)
    yield from _checks(driver)
    screen.press("step:plan")
    driver.settle(120)
    yield "setup-plan"
    yield from _trial(driver)
    driver.settle(120)
    yield "setup-known"
    screen.press("clear")
    driver.app.navigation.go("bench")


def inventory_empty(driver: Any) -> Iterator[str]:
    """A shop that owns nothing yet."""
    driver.press("owned")
    yield "inventory-empty"
    driver.app.navigation.go("bench")


def inventory(driver: Any) -> Iterator[str]:
    """What was kept while a part was set up."""
    driver.press("owned")
    driver.press("show:metals")
    yield "inventory-metals"
    driver.press("open:0")
    yield "inventory-metal"
    driver.press("forget")
    yield "inventory-forget"
    driver.press("keep_it")
    driver.press("list")
    driver.press("show:tools")
    driver.press("open:0")
    yield "inventory-tool"
    driver.press("change")
    yield from _pages(driver, "own-tool")
    driver.press("field:tool.face")
    yield "own-tool-face"
    driver.screen.choose("")
    driver.screen.back()
    driver.press("list")
    driver.press("show:machines")
    driver.press("new")
    yield from _pages(driver, "own-machine")
    driver.screen.back()
    yield from _gauges(driver)
    driver.press("show:responses")
    yield "inventory-responses"
    driver.press("open:0")
    yield "inventory-response"
    driver.app.navigation.go("bench")


def _line_files(driver: Any) -> Iterator[str]:
    """Files with target lines: the list, one without a unit, one with two lines, and one taken."""
    changed = datetime(2026, 3, 14, 15, 9).astimezone()
    table = "\n".join(f"{25 * i},{(25 * i - 600) ** 2 / 3000:.3f}" for i in range(49))
    two = (
        '<svg width="1200mm" height="300mm" viewBox="0 0 1200 300"><path id="rib" d="M 0 250 C 300 250 '
        '400 50 800 50 S 1100 100 1200 200"/><path id="sill" d="M 0 20 h 700"/></svg>'
    )
    damaged = "x mm;y mm\n0;0\n100;nan\n"
    files = {"shutter rib.csv": table, "two ribs.svg": two, "damaged.csv": damaged}
    driver.app.session.folders.lines.files = {name: (changed, text.encode()) for name, text in files.items()}
    driver.screen.press("file")
    yield "line-files"
    driver.screen.press("open:0")
    yield "line-file-wrong"
    driver.screen.press("list")
    driver.screen.press("open:2")
    yield "line-file"
    driver.screen.press("list")
    driver.screen.press("open:1")
    yield "line-file-unit"
    driver.screen.press("unit:mm")
    driver.screen.press("other_end")
    yield "line-file-table"
    driver.screen.press("take")
    yield "setup-from-file"
    yield from _original(driver)


def _original(driver: Any) -> Iterator[str]:
    """An original measured by a straight edge."""
    driver.screen.press("original")
    yield "original-empty"
    driver.screen.press("field:length")
    driver.screen.typed("800")
    yield "original-length"
    driver.screen.choose("read[0][0]")
    for i in range(9):
        driver.screen.typed(f"{32.0 * (1.0 - (i / 4.0 - 1.0) ** 2) + 0.1 * (-1) ** i:.1f}")
        if i == 3:
            yield "original-reading"
            driver.screen.press("worn:read[0][3]")
            yield "original-worn"
        driver.screen.enter()
    driver.screen.choose("")
    yield "original"
    driver.screen.press("symmetric")
    driver.screen.press("worn:read[0][3]")
    driver.screen.choose("read[0][3]")
    driver.screen.write("27.1")
    driver.screen.choose("")
    yield "original-doubt"
    driver.screen.press("symmetric")
    driver.screen.press("worn:read[0][3]")
    driver.screen.press("by:traced points")
    yield "original-traced"
    driver.screen.press("by:straight edge")
    driver.screen.press("another")
    driver.screen.choose("read[0][0]")
    for i in range(9):
        driver.screen.typed(f"{34.0 * (1.0 - (i / 4.0 - 1.0) ** 2) + 0.1 * (-1) ** i:.1f}")
        driver.screen.enter()
    driver.screen.choose("")
    yield "original-second"
    driver.screen.press("beside")
    yield "originals"
    driver.screen.back()
    driver.screen.back()


def _metal(driver: Any) -> Iterator[str]:
    """The metal's figures, and the shop's own."""
    screen = driver.screen
    _turn_to(driver, "field:material")
    yield "setup-metal"
    screen.press("metal")
    yield from _pages(driver, "metal")
    driver.screen.press("own")
    yield "own-metal"
    driver.screen.press("field:proof")
    driver.screen.typed("95")
    yield "own-metal-typed"
    driver.screen.choose("")
    driver.screen.press("keep")
    assert driver.app.navigation.name == "setup"


def _tool(driver: Any) -> Iterator[str]:
    """Tool and machine."""
    screen = driver.screen
    screen.press("step:tool")
    yield from _pages(driver, "setup-tool-typed")
    for name in ("ribs, soft", "ribs"):
        screen.press("choose:tools=")
        screen.press("field:tool.name")
        screen.write(name)
        screen.choose("")
        screen.press("keep:tools")
    screen.press("choose:more_tools=ribs, soft")
    yield "setup-tool"
    screen.press("step:machine")
    yield "setup-machine-blank"
    for field, text in (("throat", "120"), ("rated_thickness", "2"), ("rated_strength", "400")):
        screen.press(f"field:machine.{field}")
        screen.typed(text)
    yield "setup-strength"
    screen.choose("")
    yield from _pages(driver, "setup-machine")


def _checks(driver: Any) -> Iterator[str]:
    """Checks, a line each, and one that is typed."""
    screen = driver.screen
    screen.press("step:checks")
    yield "setup-checks-blank"
    screen.press("usual")
    screen.press("field:set.part")
    screen.write("1")
    screen.choose("")
    yield "setup-checks"
    screen.press("own_check")
    driver.screen.press("choose:what=thickness")
    yield from _pages(driver, "own-check")
    driver.screen.press("field:what")
    yield "own-check-what"
    driver.screen.choose("")
    driver.screen.press("field:gauge")
    yield "own-check-gauge"
    driver.screen.choose("")
    driver.screen.back()
    screen.press("step:checks")
    screen.press("field:checks[4][0]")
    screen.write("thickness, at least 1.3 mm, micrometer, first and last")
    yield "setup-check"
    screen.choose("")


def _gauges(driver: Any) -> Iterator[str]:
    """A gauge typed in, and the list with one whose calibration is past."""
    driver.press("show:gauges")
    for name, day in (("caliper 4", "2024-02-01"), ("micrometer 1", "")):
        driver.press("new")
        for field, text in (("name", name), ("uncertainty", "0.02"), ("interval_months", "12")):
            driver.screen.press(f"field:{field}")
            driver.screen.write(text)
        driver.screen.press("field:calibrated")
        driver.screen.write(day)
        yield f"own-gauge-{name.split()[0]}"
        driver.screen.choose("")
        if not day:
            driver.press("today")
        driver.press("keep")
    yield "inventory-gauges"
    driver.press("open:0")
    yield "inventory-gauge"
    driver.press("list")


def _turn_to(driver: Any, name: str) -> None:
    """The page that holds a key."""
    for _ in range(driver.screen.pages.count):
        driver.idle()
        if driver.key_named(name) is None:
            driver.screen.press("further")


def _pages(driver: Any, name: str) -> Iterator[str]:
    """Every page of a screen."""
    for page in range(driver.screen.pages.count):
        yield f"{name}-{page + 1}"
        driver.screen.press("further")


def _trial(driver: Any) -> Iterator[str]:
    """A trial on an offcut, kept."""
    driver.screen.press("trial")
    yield "trial-cautions"
    driver.screen.press("cautions")
    for _ in range(driver.screen.pages.count - 1):
        driver.screen.press("further")
    driver.screen.press("understood")
    driver.screen.press("gauge")
    yield "trial-gauge"
    driver.screen.press("choose:taper gauge")
    yield "trial"
    driver.screen.press("read")
    driver.screen.typed("4.5")
    yield "trial-rise"
    driver.screen.typed("\n")
    yield "trial-answer"
    driver.screen.press("keep")
    yield "trial-kept"
    driver.screen.press("back")
