"""Pictures of dishes and flanges, and of a set of parts alike."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
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
    """A part whose machine is too shallow and too weak for it, and its trial."""
    go, session = driver.app.navigation.go, driver.app.session
    machine = {"name": "small bench machine", "throat": "10 mm", "rated_thickness": "0.8 mm"}
    session.open(session.shop.new_part({**job, "name": f"{job['name']}, small machine", "machine": machine}))
    driver.settle(120)
    for screen in ("part", "next_step", "misfit"):
        go(screen)
        driver.settle(120)
        yield f"misfit-{screen.partition('_')[0]}" if screen != "misfit" else "misfit"
    go("trial")
    yield "misfit-trial"


def job_files(driver: Any, jobs: dict[str, dict[str, Any]]) -> Iterator[str]:
    """Parts from a folder: one of them looked at, one with a mistake, all taken."""
    import core

    changed = datetime(2026, 3, 14, 15, 9).astimezone()
    more = {name: {**job, "name": f"{job['name']}, second"} for name, job in jobs.items()}
    texts = {f"{name}.json": core.write_document(job, []) for name, job in more.items()}
    wrong = {**jobs["shutter-rib"], "section": {**jobs["shutter-rib"]["section"], "thickness": "40 mm"}}
    texts["a rib to be asked about.json"] = core.write_document(wrong, [])
    files = driver.app.session.folders.jobs
    driver.app.navigation.go("bench")
    driver.press("jobs")
    yield "job-files-empty"
    files.files = {name: (changed, text.encode()) for name, text in texts.items()}
    driver.screen.press("again")
    driver.settle(120)
    yield "job-files"
    driver.screen.press("open:0")
    yield "job-file-wrong"
    driver.screen.press("list")
    driver.screen.press("open:3")
    yield "job-file"
    driver.screen.press("list")
    driver.screen.press("all")
    yield "job-files-taken"


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


def who(driver: Any) -> Iterator[str]:
    """Nobody named yet, a name typed, and several to choose from."""
    driver.press("who")
    yield "who-empty"
    for name in ("A. Worker", "B. Checker", "C. Bender"):
        driver.app.navigation.go("who")
        driver.screen.choose("name")
        driver.screen.typed(name)
        if name.startswith("A"):
            yield "who-typed"
        driver.screen.enter()
    yield "bench-named"
    driver.app.navigation.go("who")
    yield "who"
