"""Records and job cards of dishes and flanges: their own words, and what counts of strokes do not tell."""

from __future__ import annotations

import io
from typing import Any

import pytest

import core
from shopapp.recording import fonts
from tests.made_up import OUTLINES, bowl, flange, rib

pypdf = pytest.importorskip("pypdf")


def worked(document: dict[str, Any]) -> tuple[core.Job, list[dict[str, Any]]]:
    """After the first pass, as planned, and its gaps."""
    job = core.job(document)
    made, planned = core.simulated_part(job, 3), core.refit(job, []).next_pass
    strokes = planned.strokes.tolist()
    made.work(planned.action, planned.bite, strokes)
    log = [core.pass_done(planned.action, strokes, planned.bite), core.gaps_read(*made.gaps_by_any_gauge())]
    return job, log


def text_of(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_a_dish_is_told_its_depth_stops_and_of_its_rings() -> None:
    job, log = worked(bowl())
    record = core.part_record(job, log)
    ahead = record.ahead[0]
    struck = [i for i, m in enumerate(ahead.strokes) if m]
    assert ahead.where.startswith("depth stop in from the disc's edge")
    for ring in struck:
        stops = " and ".join(f"{round(float(mm), 1):g}" for mm in job.part.stops_mm(ring))
        assert f"ring {ring + 1}: {stops} mm" in ahead.where
    assert {fact.label for fact in record.facts} >= {"distance of the rings", "radius of the sphere"}
    card = text_of(core.card_pdf(record, (), fonts()))
    assert f"ring {struck[-1] + 1}: " in card and "Depth stop in from the disc's edge" in card
    paper = text_of(core.record_pdf(record, "", fonts()))
    assert "mean all round, + outward of the template, seated at its best" in paper and "meridian" in paper


def test_a_flange_is_told_its_folds_and_angles_and_needs_no_seating() -> None:
    job, log = worked(flange(outline=OUTLINES["mixed"]))
    record = core.part_record(job, log)
    folding = next(one for one in record.ahead if any(word.startswith("fold") for word in one.words))
    assert "fold with the tool at sector" in folding.where and "turns it to about" in folding.where
    assert "turns it to about" in record.ahead[0].where
    (work,) = record.works
    assert work.words[0] == work.action and "asked" in work.stayed and "°" in work.stayed
    paper = text_of(core.record_pdf(record, "", fonts()))
    assert "gap at the tip, + turned too little" in paper and "outward of the template" not in paper
    assert f"Stayed after spring-back, of what was to stay: pass 1: {work.stayed}" in paper
    assert "meridian" not in paper and "seated at its best" not in paper
    assert "distance of the sectors" in {fact.label for fact in record.facts}


def test_a_bar_stays_as_it_is_told() -> None:
    job, log = worked(rib())
    record = core.part_record(job, log)
    assert all(not ahead.where for ahead in record.ahead)
    paper = text_of(core.record_pdf(record, "", fonts()))
    assert "deviation, + outward of the template, seated at its best" in paper
    assert "distance of the stations" in paper and "with the template seated at its best" in paper
