"""A disc: its blank by every method, circles to scribe, depth stops, thickness ring by ring."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

import core
from core.kinds.methods import BOTH
from shopapp.next_text import next_lines
from shopapp.presenters import card_work, disc_facts, setup_preview, sheet_pictures, steps
from shopapp.presenters.part import facts
from shopapp.presenters.session import Fitted
from tests.made_up import bowl

# A cap of a sphere, R 300 mm, 60 mm deep: its meridian R arccos(0.8), its rim sqrt(R^2 - 240^2), and the disc
# of its area sqrt(8 R h) across (2 pi R h of any handbook of geometry).
SHAPE = {"radius": "300 mm", "depth": "60 mm"}
ALONG, RIM, AREA = 600 * math.acos(0.8), 2 * math.sqrt(300.0**2 - 240.0**2), math.sqrt(8 * 300 * 60)


@cache
def standing(method: str = "shrink the edge") -> steps.Standing:
    job = core.job(bowl(shape=SHAPE, method=method, pitch="30 mm"))
    return steps.Standing(job, (), core.refit(job, []))


def told(found: tuple[object, ...]) -> dict[str, str]:
    return {fact.label: fact.value for fact in found}  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("method", "across"), [("shrink the edge", ALONG), ("dome from the middle", RIM), ("keep the area", AREA)]
)
def test_the_blank_of_every_method(method: str, across: float) -> None:
    part = standing(method).job.part
    assert isinstance(part, core.ReadOnMeridians)
    assert next(iter(part.discs_mm)) == method and 2 * part.rings_mm[-1] == pytest.approx(across, rel=1e-5)
    each = dict(part.discs_mm)
    assert RIM < each.pop(BOTH) < ALONG  # tests/kinds/test_both_ways.py has the size
    assert each == pytest.approx(
        {"shrink the edge": ALONG, "dome from the middle": RIM, "keep the area": AREA}, rel=1e-5
    )


def test_the_blank_is_told_on_every_screen_that_plans_it() -> None:
    one = standing()
    assert one.advice is not None
    assert isinstance(one.job.part, core.ReadOnMeridians)
    both = f"{BOTH} {one.job.part.discs_mm[BOTH]:.0f} mm"
    expected = f"dome from the middle {RIM:.0f} mm, keep the area {AREA:.0f} mm, {both}"
    preview = setup_preview.facts(Fitted("", one.job, 0, one.advice, "", 0.0))
    for found in (told(facts(one, ())), told(preview)):
        assert found["Cut the disc to"] == f"about {ALONG:.0f} mm across, shrink the edge"
        assert found["By other methods"] == expected
    assert any(expected in line for line in next_lines(one.job, one.advice))
    picture = sheet_pictures.disc(one.job)
    assert picture is not None and any(expected in said for said, _ in picture.said)


@pytest.mark.parametrize(
    ("stops_mm", "strokes", "told_as"),
    [
        ((15.0,), 4, "4 at 15 mm"),
        ((15.0, 30.0), 4, "2 each at 15 and 30 mm"),
        ((13.75, 26.25), 5, "3 at 13.8 mm, 2 at 26.2 mm"),
        ((15.0, 30.0), 1, "1 in turn at 15 and 30 mm"),
        ((15.0, 30.0, 45.0), 5, "2 at 15 mm, 2 at 30 mm, 1 at 45 mm"),
    ],
)
def test_rows_share_the_strokes_of_a_ring_in_whole_ones(
    stops_mm: tuple[float, ...], strokes: int, told_as: str
) -> None:
    assert disc_facts.rows_text(np.array(stops_mm), strokes) == told_as


def test_circles_and_depth_stops() -> None:
    """Rings of 30 mm from an edge at 193.05 mm; a patch 15 mm deep takes two rows, 15 and 30 mm in."""
    one = standing()
    assert one.advice is not None and one.advice.next_pass is not None
    assert (
        told(facts(one, ()))["Scribe circles, radius from the middle"] == "43.1, 73.1, 103.1, 133.1, 163.1 mm"
    )
    assert disc_facts.stop_text(one.job, "shrink", 5) == "15 and 30 mm"
    assert disc_facts.stop_text(one.job, "shrink", 3) == "75 and 90 mm"
    work = card_work.work_now(one)
    assert work is not None
    facts_ = told(work.facts)
    assert "strokes on each spot" in facts_["Depth stop, in from the disc's edge"]
    planned, spots = one.advice.next_pass, 2 * math.pi * (ALONG / 2 - 15.0) / one.job.tool.patch_length_mm
    rim = int(planned.strokes[5])
    assert facts_["Ring 6"] == f"{disc_facts.rows_text(np.array([15.0, 30.0]), rim)}, {spots * rim:.0f} round"
    lines = [line.split() for line in next_lines(one.job, one.advice)]
    assert any(line[:1] == ["6"] and line[-4:] == ["15", "and", "30", "mm"] for line in lines)


@pytest.mark.parametrize("pitch", ["15 mm", "40 mm"])
def test_the_deepest_row_of_a_ring_is_how_far_a_site_reaches_in(pitch: str) -> None:
    """A ring of one row or of three: half a row from its inner edge, and half a patch of 15 mm past that."""
    part = core.job(bowl(shape=SHAPE, pitch=pitch)).part
    assert isinstance(part, core.ReadOnMeridians) and part.sites.inward_mm is not None
    rows = {"15 mm": 1, "40 mm": 3}[pitch]
    for site in range(1, len(part.sites)):  # what is left over makes the first one wider
        inner, outer = part.rings_mm[site : site + 2]
        deepest = part.blank.radius_mm - inner - (outer - inner) / (2 * rows) + 7.5
        assert part.stops_mm(site)[-1] == pytest.approx(deepest, abs=1e-6)
        assert part.sites.inward_mm[site] == pytest.approx(deepest, abs=1e-6)


def test_thickness_ring_by_ring() -> None:
    """Of a hoop strain e at rings that are shrunk only round, t exp(-e) by volume: e = ln(sin phi / phi)."""
    one = standing()
    assert one.advice is not None
    found = told(disc_facts.thickness(one.job, one.advice.thickness_then_mm))
    phi = (193.05 - 15.0) / 300.0
    thickest = 1.5 * phi / math.sin(phi)
    assert found["Thickness on target"] == f"thinnest ring 1: 1.50 mm, thickest ring 6: {thickest:.2f} mm"
    by_ring = found["Ring by ring, from the middle"].removesuffix(" mm").split(", ")
    assert np.array(by_ring, dtype=float) == pytest.approx(one.advice.thickness_then_mm, abs=0.006)
    assert len(by_ring) == 6
    assert any("thickest ring 6" in line for line in next_lines(one.job, one.advice))
