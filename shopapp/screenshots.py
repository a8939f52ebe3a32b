"""Pictures of every screen, drawn by the program itself without a display.

``python -m shopapp.screenshots FOLDER`` writes all sizes, both ways of holding, both palettes; each size has
a process of its own. ``--readme`` writes the few that the README shows.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

from shopapp import screenshots_parts, screenshots_setup

STATIONS_READ = 9
SEED = screenshots_parts.SEED


@dataclass(frozen=True)
class Frame:
    """A tablet: name, pixels, dots an inch."""

    name: str
    size_px: tuple[int, int]
    dpi: float

    @property
    def turned(self) -> Frame:
        """Held upright."""
        return Frame(f"{self.name}-portrait", (self.size_px[1], self.size_px[0]), self.dpi)


TABLETS = (
    Frame("7in", (1024, 600), 169.5),
    Frame("10in", (1280, 800), 149.5),
    Frame("13in", (2560, 1600), 227.0),
)
FRAMES = {f.name: f for tablet in TABLETS for f in (tablet, tablet.turned)}
PALETTES = {"bright": "bright shop", "dim": "dim shop"}
README = (
    ("10in", "bright", ("bench", "part", "pass-card", "gaps", "next")),
    ("7in-portrait", "dim", ("gaps", "pass-card")),
)


def main(arguments: list[str] | None = None) -> int:
    """Draw what is asked for, one process a size and palette."""
    parser = argparse.ArgumentParser(prog="python -m shopapp.screenshots", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--readme", action="store_true", help="only the pictures of the README")
    parser.add_argument("--frame", choices=FRAMES, help=argparse.SUPPRESS)
    parser.add_argument("--palette", choices=PALETTES, help=argparse.SUPPRESS)
    parser.add_argument("--only", help=argparse.SUPPRESS)
    options = parser.parse_args(arguments)
    if options.frame:
        wanted = set(options.only.split(",")) if options.only else None
        draw(FRAMES[options.frame], options.palette, options.folder, wanted)
        return 0
    everything = tuple((frame, palette, ()) for frame in FRAMES for palette in PALETTES)
    for frame, palette, only in README if options.readme else everything:
        command = [sys.executable, "-m", "shopapp.screenshots", str(options.folder)]
        command += ["--frame", frame, "--palette", palette]
        subprocess.run([*command, *(["--only", ",".join(only)] if only else [])], check=True)
    return 0


def draw(frame: Frame, palette: str, folder: Path, wanted: set[str] | None) -> None:
    """Go through the app on one size in one palette, saving each screen. wanted : names, None for all."""
    from shopapp import headless

    headless.prepare(frame.size_px)
    import core
    from shopapp.app import GapwrightApp
    from shopapp.demo_jobs import demo_jobs
    from shopapp.palette import PALETTES as BY_NAME
    from shopapp.widgets.look import look

    app = GapwrightApp(
        core.Shop(core.MemoryFolder()),
        keep_record=lambda _, part: f"Record of {part}",
        draw_template=lambda _, part: f"Template of {part}",
        keep_set=lambda _, summary, set_id: f"Summary of {set_id}",
    )
    look.use_density(frame.dpi)
    look.palette = BY_NAME[PALETTES[palette]]
    driver = headless.Driver(app, frame.size_px)
    driver.start()
    for name in tour(driver, demo_jobs()):
        if wanted is None or name in wanted:
            driver.shot(folder / f"{frame.name}-{palette}-{name}.png")
    driver.stop()


def tour(driver: Any, jobs: dict[str, dict[str, Any]]) -> Iterator[str]:
    """Every screen with something on it; its name each time. jobs : made-up ones, by name."""
    yield "bench-empty"
    yield from screenshots_setup.inventory_empty(driver)
    yield from screenshots_setup.setup(driver)
    yield from screenshots_setup.inventory(driver)
    go, session = driver.app.navigation.go, driver.app.session
    for job in [*jobs.values()][::-1]:
        session.open(session.shop.new_part(job))
        go("part")
        driver.settle(120)
    yield from _first_pass(driver)
    yield from _gaps(driver)
    yield from _after(driver)
    for name in ("tank-end", "fountain-dish"):
        yield from screenshots_parts.sheet_part(driver, name, jobs[name])
    go("bench")
    yield "bench"
    driver.screen.press("search")
    driver.screen.typed("rib")
    yield "bench-search"
    driver.screen.choose("")
    yield "bench-found"
    driver.screen.press("all")
    yield from screenshots_parts.part_set(driver, jobs["shutter-rib"])
    yield from screenshots_parts.misfit(driver, jobs["shutter-rib"])
    yield from screenshots_parts.job_files(driver, jobs)
    go("display")
    yield "display"


def _first_pass(driver: Any) -> Iterator[str]:
    yield "part-new"
    driver.press("next")
    yield "cautions"
    driver.press("understood")
    yield "pass-card"
    driver.press("pacer")
    driver.screen._started -= 9.0
    driver.idle(3)
    yield "pacer"
    driver.press("stop")
    driver.screen.tap(SEED)
    yield "pass-card-limit"
    driver.screen.tap(SEED)
    driver.press("differently")
    yield "pass-card-edited"
    driver.screen.tap(SEED)
    driver.screen.typed("60")
    yield "pass-card-beyond"
    driver.press("cancel")


def _gaps(driver: Any) -> Iterator[str]:
    """Two passes run; the second one's gaps entered by keys."""
    import core

    session = driver.app.session
    bar = core.simulated_part(session.job, SEED)
    for last in (False, False, True):
        driver.settle(120)
        planned = session.advice.next_pass
        strokes = [int(m) for m in planned.strokes]
        bar.work(planned.action, planned.bite, strokes)
        session.log(core.pass_done(planned.action, strokes, planned.bite))
        if not last:
            session.log(_round(bar))
    driver.app.navigation.go("gaps")
    driver.settle(120)
    gaps = bar.gaps()
    for gap in gaps[:STATIONS_READ]:
        _enter(driver, gap)
    driver.settle(120)
    yield "gaps"
    driver.screen.press("pad")
    driver.screen.typed("0.3")
    yield "gaps-pad"
    driver.screen.typed("\b\b\b4.5\n")
    yield "gaps-doubt"
    if driver.screen.view.question:
        driver.screen.press("again")
    driver.screen.press("leaves")
    driver.screen.press("gauge")
    yield "gaps-gauge"
    driver.screen.press("gauge")
    while driver.screen.view.strip.current is not None:
        _enter(driver, gaps[driver.screen.view.strip.current])
    yield "gaps-read"


def _round(bar: Any) -> Any:
    """A round of gaps by leaves, or by the rule where leaves do not reach."""
    import core

    gaps = bar.gaps()
    if gaps.count("beyond") > len(gaps) // 4:
        return core.gaps_read(bar.gaps(gauge=core.GAUGES["steel rule"], reseat=False), gauge="steel rule")
    return core.gaps_read(gaps)


def _enter(driver: Any, gap: Any) -> None:
    """One reading as typed; a doubted one is confirmed."""
    screen = driver.screen
    if isinstance(gap, str):
        screen.press(gap)
    else:
        screen.typed(f"{gap:g}\n")
    if screen.view.question:
        screen.press("right")
    if screen.view.mode == "pad" and any(k.name == "leaves" for k in screen.view.keys):
        screen.press("leaves")


def _after(driver: Any) -> Iterator[str]:
    driver.screen.press("all")
    driver.settle(120)
    yield "next"
    yield from _bow(driver)
    driver.app.navigation.go("part")
    driver.settle(120)
    yield "part"
    driver.app.navigation.go("finish")
    driver.settle(120)
    yield "finish"
    driver.screen.press("row:twist")
    yield "finish-value"
    driver.screen.choose("")
    yield from _signed(driver)


def _signed(driver: Any) -> Iterator[str]:
    """Every check made with a concession for what is outside, signed, taken up again, read once more."""
    screen = driver.screen
    for text in ("0.4", "90.2", "9.4"):
        screen.choose(screen._current())
        screen.typed(f"{text}\n")
    now = driver.app.session.now()
    files = {f"{i}.jpg": (now - timedelta(hours=10 * i, seconds=40), b"") for i in range(4)}
    driver.app.session.folders.photos.files = files
    screen.press("row:surface marks")
    screen.press("photo:0.jpg")
    yield "finish-marks"
    screen.press("field:photo")
    screen.write("photos/rib-3.jpg")
    yield "finish-photo"
    screen.press("enter")
    screen.press("value:dressed out")
    screen.press("not_needed")
    screen.choose("concession")
    screen.write("agreed for the demo")
    screen.choose("who")
    screen.write("A. Worker")
    screen.choose("")
    driver.press("sign")
    driver.settle(120)
    yield "finish-signed"
    driver.app.navigation.go("part")
    driver.settle(120)
    yield "part-signed"
    driver.app.navigation.go("finish")
    driver.press("reopen")
    yield "finish-reopened"
    driver.screen.press("row:twist")
    driver.screen.typed("1.4\n")
    driver.screen.choose("")
    yield "finish-later"
    driver.app.navigation.go("part")
    driver.settle(120)
    yield "part-later"


def _bow(driver: Any) -> Iterator[str]:
    """The bow, counter-work against it, and the bow read."""
    driver.screen.press("bow")
    driver.settle(120)
    yield "bow"
    if any(key.name == "counter" for key in driver.screen.view.keys):
        driver.screen.press("counter")
        yield "bow-counter"
        driver.screen.press("reading")
    driver.screen.press("side:1")
    driver.screen.typed("9.5")
    yield "bow-size"
    driver.screen.press("enter")
    driver.settle(120)
    yield "next-bow"


if __name__ == "__main__":
    sys.exit(main())
