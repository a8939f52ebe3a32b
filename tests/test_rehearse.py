"""Whole jobs in the terminal, from set-up to sign-off, two of them on published outlines."""

from __future__ import annotations

import io
import re
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

import core
from shopapp import demo, rehearse
from shopapp.demo_jobs import NACA_0012_PER_CENT, demo_jobs, naca_offsets, wigley_offsets
from shopapp.playing import Play


def naca_thickness(x: np.ndarray, thickness: float) -> np.ndarray:
    """Half thickness of a four-digit section, all in chords (NACA Report 460, 1933; from memory)."""
    a = (0.2969, -0.1260, -0.3516, 0.2843, -0.1015)
    return 5 * thickness * (a[0] * np.sqrt(x) + a[1] * x + a[2] * x**2 + a[3] * x**3 + a[4] * x**4)


@pytest.fixture(params=list(demo_jobs()))
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_a_whole_job_is_played_to_sign_off_and_its_record_left(name: str, tmp_path: Path) -> None:
    out = io.StringIO()
    assert rehearse.rehearse([name], tmp_path, out) == rehearse.ALL_WELL
    text = out.getvalue()
    job_document = demo_jobs()[name]
    assert job_document["name"] in text and "Invented" in text and "signed off after" in text
    kept = core.read_document((tmp_path / f"{name}.json").read_bytes())
    assert kept.events[-1]["event"] == "signed_off"
    bowed = "    bow      " in text
    assert bowed == ("bow_read" in [event["event"] for event in kept.events])
    missing = [one.check.label for one in core.check_results(kept.job, kept.events) if one.missing]
    assert missing and f"    not read {', '.join(missing)}: " in text  # no angle, twist or mark is simulated
    concession = kept.events[-1]["concession"]
    assert concession.endswith(f"not read {', '.join(missing)}: {rehearse.NOT_PLAYED}")
    assert f"  with concession: {concession}\n" in text
    results = core.check_results(kept.job, kept.events)
    failed = [one for one in results if one.verdict in ("outside", "too close to call")]
    assert all(one.check.bow for one in failed)
    assert bool(failed) == (rehearse.NOT_COUNTERED in concession) == ("Signed by concession" in text)
    assert bool(failed) != text.endswith("All parts reached their tolerance.\n")
    assert all(f"bow {core.format_length(one.value)}, {one.verdict}" in concession for one in failed)
    assert not bowed or not any(check.bow and check.label in missing for check in kept.job.checks)
    final = core.refit(kept.job, kept.events)
    assert final.verdict == "within"
    for known in (r for r in final.response.values() if r.known):
        share, band = (100 * part / known.expected for part in (known.mean, 1.96 * known.sd))  # of 95 %
        learned = f"{share:.0f} ± {band:.0f} % of the first guess"
        assert f"learned  {known.action}, {known.bite}: {learned}" in text
    before = core.refit(kept.job, [])
    assert f"before any work the widest gap is about {core.format_length(before.widest_gap_mm)}," in text
    assert " rad" not in text
    for widest in re.findall(r"This plan ends at ([\d.]+) ", text):
        assert float(widest) >= kept.job.tolerance_mm
    with core.Shop(tmp_path) as shop:
        (card,) = shop.parts()
        assert card.name == job_document["name"]
        assert core.effective(shop.open(card.id).events) == core.effective(kept.events)


def test_a_part_that_does_not_get_there_is_not_signed_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rehearse, "MOST_PASSES", 1)
    out = io.StringIO()
    assert rehearse.rehearse(["shutter-rib"], tmp_path, out) == rehearse.NOT_REACHED
    assert "NOT within" in out.getvalue() and "signed off after" not in out.getvalue()
    kept = core.read_document((tmp_path / "shutter-rib.json").read_bytes())
    assert "signed_off" not in [event["event"] for event in kept.events]


def test_an_unknown_job_is_named_before_anything_is_made(tmp_path: Path) -> None:
    with pytest.raises(core.InputError, match="shutter-rib, gutter-rib"):
        rehearse.rehearse(["shutter-rib", "nonsense"], tmp_path / "shop", io.StringIO())
    assert not (tmp_path / "shop").exists()


def test_same_seed_same_rehearsal_but_for_the_records_ids(tmp_path: Path) -> None:
    def played(folder: str) -> list[str]:
        out = io.StringIO()
        rehearse.rehearse(["wind-vane-rib"], tmp_path / folder, out)
        return [line for line in out.getvalue().splitlines() if "record:" not in line]

    assert played("one") == played("two")


def test_naca_ordinates_are_those_of_the_published_formula() -> None:
    """Table in per cent of the chord, three decimals: every entry within half a digit of the formula
    (that at 20 per cent is printed cut off, not rounded)."""
    table = np.array(NACA_0012_PER_CENT)
    np.testing.assert_allclose(table[:, 1], 100 * naca_thickness(table[:, 0] / 100, 0.12), atol=5.5e-4)


def test_spline_through_the_naca_table_has_the_curvature_of_the_formula() -> None:
    """Curvature at mid-chord by differentiating the formula; offsets rounded to 0.001 mm."""
    chord = 1600.0
    line = core.job(demo_jobs()["wind-vane-rib"]).part.line
    s = np.linspace(0.0, line.length_mm, 4001)
    at = int(np.argmin(np.abs(line.point_mm(s)[:, 0] - line.point_mm(s)[0, 0] + (0.95 - 0.5) * chord)))
    h = 1e-3
    y = [chord * naca_thickness(np.array([0.5 + k * h]), 0.12)[0] for k in (-1, 0, 1)]
    slope, bend = (y[2] - y[0]) / (2 * h * chord), (y[2] - 2 * y[1] + y[0]) / (h * chord) ** 2
    expected = -bend / (1 + slope**2) ** 1.5
    assert float(line.curvature_per_mm(s[at])) == pytest.approx(expected, rel=0.05)
    assert naca_offsets(chord)[0] == [1520.0, 12.912]


def test_wigley_frame_is_the_published_hull_form() -> None:
    """Half-breadth b (1 - (2x/L)^2)(1 - (z/T)^2), z down from the waterline, b = 0.8 T (from memory);
    radius of the parabola at the waterline T^2 / (2 b (1 - (2x/L)^2))."""
    points = np.array(wigley_offsets(900.0, 0.5))
    z = 900.0 - points[:, 1]
    np.testing.assert_allclose(points[:, 0], 720.0 * 0.75 * (1 - (z / 900.0) ** 2), atol=6e-4)
    line = core.job(demo_jobs()["canopy-frame"]).part.line
    radius = 1.0 / float(line.curvature_per_mm(line.length_mm - 1.0))
    assert radius == pytest.approx(900.0**2 / (2 * 540.0), rel=0.05)


def test_demo_shop_is_filled_once_and_its_bars_go_on_answering() -> None:
    now = [datetime(2026, 5, 4, 8, 0, tzinfo=UTC)]
    with core.Shop(core.MemoryFolder(), now=lambda: now[0]) as shop:
        demo.fill(shop, lambda: now[0])
        cards = shop.parts()
        assert {card.name for card in cards} == {
            demo.FINISHED,
            *(document["name"] for document in demo_jobs().values()),
        }
        assert all(card.summary["sketch"] for card in cards)
        demo.fill(shop, lambda: now[0])
        assert len(shop.parts()) == len(cards)
        finished = next(shop.open(c.id) for c in cards if c.name == demo.FINISHED)
        assert finished.events[-1]["event"] == "signed_off"
        part = next(shop.open(c.id) for c in cards if c.name == "Shutter rib 3")
        passes = [e for e in part.events if e["event"] == "pass_done"]
        assert len(passes) == demo.STAGES["shutter-rib"]
        bar = demo.bar_of(part)
        again = demo.bar_of(part)
        assert bar.widest_gap_mm() == again.widest_gap_mm()
        fresh = core.simulated_bar(core.job(part.job_document), 1)
        assert bar.widest_gap_mm() < 0.2 * fresh.widest_gap_mm()


def test_a_questioned_reading_is_taken_again_where_the_template_lies() -> None:
    with core.Shop(core.MemoryFolder()) as shop:
        play = Play(shop.open(shop.new_part(demo_jobs()["shutter-rib"])), seed=4)
        taken = play.read()
        play.read_again(taken, [3])
        (effective,) = core.effective(play.part.events)
        assert effective["confirmed"] == [3]
        assert [g for i, g in enumerate(effective["gaps_mm"]) if i != 3] == [
            g for i, g in enumerate(taken["gaps_mm"]) if i != 3
        ]
        assert abs(effective["gaps_mm"][3] - taken["gaps_mm"][3]) <= 1.5  # steel rule: steps of 0.5 mm
