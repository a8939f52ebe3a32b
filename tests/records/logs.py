"""A made-up part with everything in its log that can become of an entry, as a store would have written it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import core
from tests.made_up import rib

SITES = 10
DOCUMENT = rib(
    name="Żebro Ω 3",
    line={"radius": "1500 mm", "length": "400 mm"},
    tool__settings={"light": "1.5 mm", "medium": "2.5 mm", "heavy": "notch 4"},
)
GAPS = [5.0, 4.1, 2.4, 1.3, 0.5, "touching", 0.45, 1.2, 2.3, None]
THEN = [0.4, 0.3, 0.2, 0.1, "touching", "touching", 0.1, 0.2, 0.3, 0.4]
PLANNED = [6] * SITES
DONE = [5] * SITES
BEGUN = datetime(2026, 3, 14, 8, 0, tzinfo=UTC)
PLAN = {
    "gap_mm": 0.4,
    "gap_sd_mm": 0.1,
    "action": "shrink",
    "bite": "heavy",
    "strokes": PLANNED,
    "minutes": 4.5,
}


def stamped(events):
    """As the store does it, five minutes apart, two hands in turn."""
    log = []
    for i, event in enumerate(events):
        at = (BEGUN + timedelta(minutes=5 * i)).isoformat().replace("+00:00", "Z")
        who = "A. Worker" if i % 2 == 0 else "Zoë Łęcka"
        log.append({"id": f"e{i}", "at": at, "offset": "+01:00", "who": who, "schema": 1, **event})
    return log


def a_log():
    """Gaps; a pass done otherwise than planned; gaps, of which two are put right and one is read again; a
    pass that was withdrawn; checks; a note that looks like a formula; sign-off."""
    put_right = [0.5, *THEN[1:-1], 0.45]
    return stamped(
        [
            core.gaps_read(GAPS),  # e0
            core.note("Pass 1", planned={"as_shown": False, **PLAN}),  # e1
            core.pass_done("shrink", DONE, bite="heavy"),  # e2
            core.gaps_read(THEN),  # e3
            core.corrected("e3", core.gaps_read(put_right, confirmed=[0])),  # e4
            core.pass_done("shrink", [1] * SITES, bite="light"),  # e5
            core.withdrawn("e5"),  # e6
            core.template_seated(),  # e7
            core.gap_read(4, 0.05, gauge="dial"),  # e8
            core.gap_read(4, 0.1),  # e9
            core.check_read("twist", 0.4, unit="°", gauge="level", limit="at most 1.0°", sd=0.1),  # e10
            core.check_read("twist", -0.3, unit="°", gauge="level", limit="at most 1.0°", sd=0.1),  # e11
            core.check_read("surface marks", "none", gauge="eye", limit="none or dressed out"),  # e12
            core.note("=HYPERLINK(1)"),  # e13
            core.signed_off("Zoë Łęcka", verdicts={"twist": "within"}, concession="@ends as agreed"),  # e14
        ]
    )


def a_record(log=None, document=DOCUMENT):
    """The record of it."""
    return core.part_record(core.job(document), a_log() if log is None else log)
