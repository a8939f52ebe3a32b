"""The strip is drawn twice, on the screen and on paper: both take the same numbers, signs and order of sites,
for every kind of part."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import core
from core.printing import strip as on_paper
from shopapp.areas import Area
from shopapp.presenters import strips
from shopapp.presenters.pieces import OVER
from shopapp.widgets.strip_marks import heights_of
from shopapp.widgets.strip_plan import plan_strip
from tests.made_up import bowl, flange, rib
from tests.records.logs import stamped

KINDS = {"section": rib, "flange": flange, "dish": bowl}
PX = 5.0


@dataclass
class Paper:
    """A page that keeps what is set down on it; y goes down."""

    y: float = 40.0
    line: list[tuple[float, float]] = field(default_factory=list)
    rounds: list[tuple[float, float]] = field(default_factory=list)
    numbers: list[tuple[float, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        nothing = ("rect", "line", "polygon", "set_draw_color", "set_dash_pattern", "set_line_width")
        calls = {name: lambda *_, **__: None for name in (*nothing, "set_fill_color")}
        self.document = SimpleNamespace(**calls, polyline=self.line.extend, ellipse=self._ellipse)

    def _ellipse(self, x: float, y: float, wide: float, high: float, **_: Any) -> None:
        self.rounds.append((x + wide / 2, y + high / 2))

    def centred(self, x: float, y: float, text: str, *_: Any) -> None:
        self.numbers.append((x, text))

    def need(self, *_: Any, **__: Any) -> None:
        """Room, a title, a shade, other texts: not looked at."""

    paragraph = shade = right = text = need


@pytest.fixture(params=KINDS)
def read(request: pytest.FixtureRequest) -> tuple[core.Job, list[Any], core.Advice, core.Record]:
    """A part worked once and read, one gap skipped, one beyond the gauge."""
    job = core.job(KINDS[request.param]())
    part = core.simulated_part(job, 5)
    planned = core.refit(job, []).next_pass
    assert planned is not None
    counts = [int(m) for m in planned.strokes]
    part.work(planned.action, planned.bite, counts)
    gaps = part.gaps(gauge=core.GAUGES["steel rule"])
    gaps[1], gaps[2] = None, "beyond"
    done = core.pass_done(planned.action, counts, bite=planned.bite)
    log = stamped([done, core.gaps_read(gaps, gauge="steel rule")])
    advice = core.refit(job, log)
    return job, gaps, advice, core.part_record(job, log, advice)


def test_deviation_and_band_are_the_same_site_by_site(read: Any) -> None:
    job, _, advice, record = read
    screen, paper = strips.for_deviation(job, advice.deviation_mm, advice.deviation_sd_mm), record.now
    assert paper.position_mm == screen.position_mm
    assert [mark.value_mm for mark in screen.marks] == list(paper.deviation_mm)
    upper = np.add(paper.deviation_mm, paper.band_mm)
    assert screen.high_mm == pytest.approx(list(upper)) and max(paper.band_mm) > 0.0
    assert screen.tolerance_mm == (-paper.tolerance_mm, paper.tolerance_mm)


def test_what_was_read_is_the_same_with_the_sign_of_the_deviation(read: Any) -> None:
    """Skipped at neither; beyond the gauge a mark of its own at both."""
    job, gaps, _, record = read
    reach = dict.fromkeys(range(len(gaps)), 5.0)
    screen = strips.for_gaps(job, job.template, reach, dict(enumerate(gaps)), None, frozenset(), None)
    beyond = [i for i, mark in enumerate(screen.marks) if mark.state == OVER and mark.text.startswith(">")]
    assert list(record.now.beyond) == beyond and 2 in beyond
    shown = {i: m.value_mm for i, m in enumerate(screen.marks) if m.value_mm is not None and i not in beyond}
    sign = job.template.sign
    assert dict(record.now.read) == pytest.approx({i: sign * mm for i, mm in shown.items()})
    assert 1 not in shown


def test_both_go_the_same_way_and_number_alike(read: Any) -> None:
    """Sites from left to right from 1, outward upwards."""
    job, _, advice, record = read
    page, strip = Paper(), record.now
    on_paper.draw_strip(page, strip, record.site)  # type: ignore[arg-type]
    screen = strips.for_deviation(job, advice.deviation_mm, advice.deviation_sd_mm)
    area = Area(0.0, 0.0, 160 * PX, 50 * PX)
    cells = plan_strip(screen, area, PX, lambda text, mm: len(text) * mm).cells
    heights = heights_of(screen, cells, area, PX)
    drawn = [(cells.middle(i), heights.y(mark.value_mm)) for i, mark in enumerate(screen.marks)]
    assert len(page.line) == len(drawn)
    for axis, way in ((0, 1), (1, -1)):
        paper = np.argsort([way * place[axis] for place in page.line], kind="stable")
        there = np.argsort([place[axis] for place in drawn], kind="stable")
        assert list(paper) == list(there)
    shown = [screen.names[page.line.index(p)] for p in page.line if p[0] in [x for x, _ in page.numbers]]
    assert [text for _, text in page.numbers] == shown and shown[0] == "1"
