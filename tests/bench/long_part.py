"""A made-up part of 200 stations, with one pass run and read, for what is measured of the app."""

from __future__ import annotations

from typing import Any

STATIONS = 200
JOB = {  # invented
    "name": "Long gutter rib",
    "kind": "section",
    "line": {"radius": "9000 mm", "length": "8000 mm"},
    "section": {"shape": "angle", "worked": "40 mm", "other": "40 mm", "thickness": "1.5 mm"},
    "material": "aluminium 5754-O",
    "tool": {
        "patch_length": "20 mm",
        "patch_depth": "15 mm",
        "strain_per_stroke": 0.004,
        "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8},
    },
    "pitch": "40 mm",
    "template": "layout line",
    "gauge": "feeler leaves",
    "tolerance": "0.5 mm",
}


def long_part(driver: Any) -> None:
    """Open a part of 200 stations with one pass run and read, and a new round of gaps begun."""
    import core

    session = driver.app.session
    session.open(session.shop.new_part(JOB))
    assert len(session.job.part.sites) == STATIONS
    driver.app.navigation.go("part")
    driver.settle(300)
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    planned = session.advice.next_pass
    bar = core.simulated_bar(session.job, 4)
    strokes = [int(m) for m in planned.strokes]
    bar.work(planned.action, planned.bite, strokes)
    session.log(core.pass_done(planned.action, strokes, planned.bite))
    session.log(core.gaps_read(bar.gaps(gauge=core.GAUGES["steel rule"]), gauge="steel rule"))
    session.log(core.template_seated())
    driver.settle(300)
