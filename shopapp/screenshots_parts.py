"""Pictures of dishes and flanges, and of a set of parts alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

SEED = 12


def sheet_part(driver: Any, name: str, job: dict[str, Any]) -> Iterator[str]:
    """Another part like this one set up, then one pass of it run and read."""
    import core

    go, session = driver.app.navigation.go, driver.app.session
    session.like = job
    go("setup")
    for step in ("job", "line", "section", "stations", "plan"):
        driver.screen.press(f"step:{step}")
        driver.settle(120)
        yield f"{name}-setup-{step}"
    session.open(session.shop.new_part(job))
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    made = core.simulated_part(session.job, SEED)
    driver.settle(120)
    go("pass_card")
    driver.settle(120)
    yield f"{name}-pass-card"
    planned = session.advice.next_pass
    made.work(planned.action, planned.bite, [int(m) for m in planned.strokes])
    session.log(core.pass_done(planned.action, [int(m) for m in planned.strokes], planned.bite))
    go("gaps")
    driver.settle(120)
    yield f"{name}-gaps"
    if isinstance(session.job.part, core.ReadOnMeridians):
        for screen in ("rim", "rim_height"):
            go(screen)
            driver.settle(120)
            yield f"{name}-{screen.replace('_', '-')}"
    session.log(core.gaps_read(*made.gaps_by_any_gauge()))
    for screen in ("next_step", "part", "finish"):
        go(screen)
        driver.settle(120)
        yield f"{name}-{screen.partition('_')[0]}"


def misfit(driver: Any, job: dict[str, Any]) -> Iterator[str]:
    """A part whose machine is too shallow and too weak for it."""
    go, session = driver.app.navigation.go, driver.app.session
    machine = {"name": "small bench machine", "throat": "10 mm", "rated_thickness": "0.8 mm"}
    session.open(session.shop.new_part({**job, "name": f"{job['name']}, small machine", "machine": machine}))
    driver.settle(120)
    for screen in ("part", "next_step", "misfit"):
        go(screen)
        driver.settle(120)
        yield f"misfit-{screen.partition('_')[0]}" if screen != "misfit" else "misfit"


def part_set(driver: Any, job: dict[str, Any]) -> Iterator[str]:
    """A set with made-up figures: its parts, both charts, another coil, the next part."""
    from shopapp import made_up_set

    go, session = driver.app.navigation.go, driver.app.session
    session.set_shown = made_up_set.fill(session.shop, job)
    go("set")
    for page in range(driver.screen.pages.count):
        yield f"set-parts-{page + 1}"
        driver.screen.press("further")
    for chart in ("gap", "response"):
        driver.screen.press(f"show:{chart}")
        yield f"set-{chart}"
    driver.screen.press("coil")
    yield "set-coil"
    driver.screen.press("coil")
    driver.screen.press("begin")
    driver.settle(120)
    yield "set-next-part"
    go("part")
    session.set_shown = ""
    go("set")
    yield "sets"
