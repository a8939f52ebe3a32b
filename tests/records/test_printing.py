"""The record and the job card as PDF, read back by pypdf."""

from __future__ import annotations

import io
import re
import sys
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

import core
from shopapp import recording
from shopapp.cautions import CAUTIONS
from shopapp.photos import photos_in
from tests.records.logs import DOCUMENT, GAPS, SITES, a_log, a_record, stamped
from tests.sets.test_set_summary import JOB as SET_JOB
from tests.sets.test_set_summary import part as set_member
from tests.sets.test_set_summary import published

MM = 25.4 / 72.0  # of a point of PDF (ISO 32000-1, 8.3.2.3)


@pytest.fixture(scope="module")
def record():
    return a_record()


def pages_of(contents):
    pypdf = pytest.importorskip("pypdf")
    return pypdf.PdfReader(io.BytesIO(contents)).pages


def printed(record, caution="Look at the metal."):
    pytest.importorskip("fpdf")
    return pages_of(core.record_pdf(record, caution, recording.fonts()))


def words(pages):
    """All text, blanks of any kind as one."""
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def test_every_page_is_a4_and_has_its_foot(record):
    pages = printed(record)
    for k, page in enumerate(pages, start=1):
        assert float(page.mediabox.width) * MM == pytest.approx(210.0, abs=0.01)
        assert float(page.mediabox.height) * MM == pytest.approx(297.0, abs=0.01)
        assert "Żebro Ω 3, record of the part" in page.extract_text()
        assert f"page {k} of {len(pages)}" in page.extract_text()


def test_all_that_is_on_record_is_printed(record):
    text = words(printed(record))
    for said in (
        "Signed off by Zoë Łęcka, 2026-03-14 10:10",
        "With concession: @ends as agreed",
        "aluminium 5754-O",
        "heavy notch 4",
        "pass 1, plan 6 6 6 6 6 6 6 6 6 6",
        "pass 1 5 5 5 5 5 5 5 5 5 5",
        "pass, withdrawn 1 1 1 1 1 1 1 1 1 1",
        "0.40 ± 0.20 mm",  # expected after the pass: 1.96 * 0.1
        "round 2, gap, station 1 0.4 mm Zoë Łęcka, 2026-03-14 09:15 0.5 mm A. Worker, 2026-03-14 09:20",
        "round 3, gap, station 5 0.05 mm",
        "Twist end to end level -0.3 ± 0.2° at most 1.0° within",
        "Section angle bevel protractor – 89.0 to 91.0° not read –",
        "JCGM 106:2012, ISO 14253-1",
        "=HYPERLINK(1)",
        "Look at the metal.",
    ):
        assert said in text, said
    cells = " ".join("t" if gap == "touching" else f"{gap:g}" for gap in GAPS if gap is not None)
    assert f"round 1 {cells}" in text
    assert "round 2 0.5?*a 0.3 0.2 0.1 t t 0.1 0.2 0.3 0.45*a" in text
    assert "a: feeler leaves, A. Worker" in text
    assert "NOT SIGNED OFF" not in text


def test_a_part_that_is_not_signed_off_says_so():
    assert words(printed(a_record(a_log()[:-1]))).count("NOT SIGNED OFF") >= 2


def test_what_was_only_reckoned_is_not_told_as_measured():
    record = a_record([])
    text = words(printed(record))
    assert f"Not measured; as reckoned the widest gap is {record.widest_gap_mm:.2f} ± " in text
    assert "no round, reckoned" in text and "chance of being within" not in text


def test_what_was_read_again_and_found_right_was_not_put_right():
    log = [core.gap_read(0, 3.0), core.gap_read(0, 3.0, confirmed=True)]
    text = words(printed(a_record([event | {"id": f"e{i}"} for i, event in enumerate(log)])))
    assert "round 1 3?" in text and "3?*" not in text
    assert "What was put right" not in text


def test_the_strip_is_drawn_against_its_tolerance(record):
    """A circle each reading, of four curves (ISO 32000-1, 8.5.2), and the numbers of the limits."""
    pages = printed(record)
    operators = [operator for _, operator in pages[0].get_contents().operations]
    circles = sum(len(strip.read) for strip in (record.before, record.now))
    assert operators.count(b"c") == 4 * circles
    text = pages[0].extract_text()
    assert "Before the first pass" in text and "As it was signed off" in text
    assert "±0.50 mm" in text  # where the band is too narrow for two numbers
    assert "+0.50 mm" in text and "−0.50 mm" in text


def test_letters_of_any_language_are_kept_and_others_told_by_number(record):
    job = core.job({**record.document, "name": "Żebro Ω ü → 字 3"})
    told = words(printed(core.part_record(job, a_log())))
    assert "Żebro Ω ü → [U+5B57] 3" in told


def test_the_job_card_has_the_passes_to_come_on_one_page():
    pytest.importorskip("fpdf")
    record = a_record([])
    assert record.ahead
    (page,) = pages_of(core.card_pdf(record, CAUTIONS, recording.fonts()))
    text = words([page])
    for ahead in record.ahead:
        assert f"Pass {ahead.number}: SHRINK, press together" in text
        assert f"{ahead.bite} bite, ram setting {ahead.setting}, gripping set, 120 strokes/min" in text
        cells = " ".join(f"{i + 1} {m or '–'}" for i, m in enumerate(ahead.strokes))
        assert cells in text
    assert text.count("as planned now") == len(record.ahead) - 1
    assert all(f"{heading}: {said[:20]}" in text for heading, said in CAUTIONS)
    assert "page 1 of 1" in text


def test_a_card_of_a_part_that_does_not_fit_says_that_it_is_not_to_be_run():
    pytest.importorskip("fpdf")
    document = {**a_record([]).document, "machine": {"throat": "10 mm"}}
    record = core.part_record(core.job(document), [])
    text = words(pages_of(core.card_pdf(record, CAUTIONS, recording.fonts())))
    assert text.index("NOT TO BE RUN as it stands") < text.index("5.00 mm too little") < text.index("Pass 1:")
    assert core.record_document(record)["misfits"] == list(record.misfits)


def test_the_job_card_says_where_the_tool_is_changed_first():
    pytest.importorskip("fpdf")
    record = a_record([])
    first, *later = record.ahead
    changed = replace(first, change_first="tool", beside="bow 4.0 ± 1.0 mm away")
    text = words(pages_of(core.card_pdf(replace(record, ahead=(changed, *later)), (), recording.fonts())))
    assert text.count("CHANGE THE TOOL first, to gripping set.") == 1
    assert "press together CHANGE THE TOOL" in text and "bow 4.0 ± 1.0 mm away" in text
    assert "CHANGE" not in words(pages_of(core.card_pdf(record, (), recording.fonts())))


def test_a_card_without_a_pass_says_what_is_to_be_done():
    pytest.importorskip("fpdf")
    record = replace(a_record(a_log()[:-1]), ahead=(), state="within")
    text = words(pages_of(core.card_pdf(record, (), recording.fonts())))
    assert "No pass is planned. NOT SIGNED OFF Widest gap" in text
    assert "To be done: the finish check, then sign-off." in text


def test_counts_are_large():
    """At least 5 mm high, to be read from 0.7 m: figures of the font are 0.71 of its size."""
    from core.printing.card_pdf import LARGE_CELLS

    assert LARGE_CELLS.points * MM * 0.71 >= 5.0


def test_a_package_that_is_missing_is_named(monkeypatch, record):
    monkeypatch.setitem(sys.modules, "fpdf", None)
    with pytest.raises(core.InputError, match=r"fpdf2 is wanted.*gapwright\[records\].*csv or json"):
        core.record_pdf(record, "", recording.fonts())


def test_many_sites_go_on_below_and_tables_over_pages(record):
    """Sixty stations: three blocks of twenty; every station's count is there."""
    n, times = 60, 30
    work = replace(record.works[0], strokes=tuple(range(100, 100 + n)), planned=None)
    positions = tuple(20.0 + 40.0 * i for i in range(n))
    strip = replace(record.now, position_mm=positions, deviation_mm=(0.1,) * n, band_mm=(0.2,) * n)
    long = replace(record, position_mm=positions, works=(work,) * times, readings=(), before=strip, now=strip)
    pages = printed(long)
    text = words(pages)
    assert len(pages) >= 4
    for first in (0, 20, 40):
        assert text.count(" ".join(str(100 + i) for i in range(first, first + 20))) == times
    assert sum("ram setting" in page.extract_text().replace("\n", " ") for page in pages) >= 2
    assert n > SITES


def test_a_set_is_printed_with_what_its_charts_say():
    """Ten values of the NIST/SEMATECH e-Handbook 6.3.2.2 as gaps: its limits stand beside the lines."""
    pytest.importorskip("fpdf")
    gaps = published("nist")
    summary = core.set_summary(SET_JOB, [set_member(i + 1, gap) for i, gap in enumerate(gaps)])
    text = words(pages_of(core.set_pdf(SET_JOB, summary, recording.fonts())))
    for said in (
        "Rib 1 to Rib 10",
        "limit 55.80",
        "mean 50.81",
        "limit 45.8",
        "mean range 1.88",
        "limit 6.13",
    ):
        assert said in text, said
    assert "52.10 ± 0.06 mm" in text and "Final gap: no part is out of line with the others." in text
    assert "machine not said tool to shrink and stretch" in text and "gauge feeler leaves, steps of" in text
    assert words(pages_of(core.set_pdf(SET_JOB, core.set_summary(SET_JOB, []), recording.fonts())))


def test_a_set_as_a_table_has_units_in_its_header_and_no_formula():
    summary = core.set_summary(SET_JOB, [replace(set_member(1), told=core.SetPart("=1+1", ()))])
    header, row = core.table_csv(core.set_table(summary)).removeprefix("\ufeff").splitlines()
    assert header.split(",")[4:8] == [
        "minutes",
        "widest_gap_mm",
        "standard_uncertainty_mm",
        "response_percent",
    ]
    assert row == "1,'=1+1,1,120,20.0,0.3,0.03,,yes,as before"


def test_what_came_after_the_sign_off_is_printed_beside_it():
    log = stamped([*a_log(), core.reopened(), core.check_read("twist", 3.0, unit="°")])
    text = words(printed(a_record(log)))
    assert "Twist end to end level -0.3 ± 0.2° at most 1.0° within" in text
    assert (
        text.index("Since sign-off") < text.index("the part was taken up again") < text.index("twist: 3.0°")
    )
    assert "Since sign-off" not in words(printed(a_record()))


def test_the_seal_of_the_sign_off_is_on_paper_and_what_was_changed_is_at_its_head():
    with core.Shop(core.MemoryFolder()) as shop:
        part = shop.open(shop.new_part(DOCUMENT))
        for event in (core.gaps_read(GAPS), core.signed_off("Zoë Łęcka")):
            part.append(event)
        events, job = part.events, core.job(part.job_document)
    text = words(printed(core.part_record(job, events)))
    assert f"Seal {core.short_seal(events[-1]['seal'])} (SHA-256" in text and "CHANGED" not in text
    edited = [{**events[0], "gaps_mm": [0.1] * SITES}, events[1]]
    broken = [one.what for one in core.check_seals(DOCUMENT, edited).broken]
    text = words(printed(core.part_record(job, edited, None, broken)))
    assert "CHANGED OUTSIDE THE PROGRAM: Entry 1, gaps read" in text
    assert text.index("CHANGED") < text.index("Gaps:")


def test_what_was_warned_of_at_sign_off_is_printed():
    warned = {**a_log()[-1], "warnings": ["Feeler leaves: its calibration is past since 2026-03-13"]}
    text = words(printed(a_record([*a_log()[:-1], warned])))
    assert "Warned of at sign-off: Feeler leaves: its calibration is past since 2026-03-13." in text


def test_photos_of_checks_stand_in_the_record():
    """Two pictures, one of them turned by its camera; a third that is not there is named."""
    image = pytest.importorskip("PIL.Image")
    upright, turned = image.new("RGB", (300, 200), "red"), image.new("RGB", (200, 300), "blue")
    tag = image.Exif()
    tag[0x0112] = 6  # orientation: to be turned by a quarter (Exif 2.3, 4.6.4)
    with TemporaryDirectory() as folder:
        upright.save(Path(folder) / "a.png")
        turned.save(Path(folder) / "b.jpg", exif=tag)
        (Path(folder) / "c.jpg").write_bytes(b"no picture")
        found = photos_in(Path(folder), ["a.png", "b.jpg", "c.jpg", "d.jpg"])
    assert list(found) == ["a.png", "b.jpg"]
    names = ("surface marks", "joint", "edge", "hole")
    log = [
        core.check_read(name, "none", photo=f"{letter}")
        for name, letter in zip(names, ("a.png", "b.jpg", "c.jpg", "d.jpg"), strict=True)
    ]
    pages = pages_of(core.record_pdf(a_record(stamped(log)), "", recording.fonts(), found))
    sizes = {(one.image.width, one.image.height) for page in pages for one in page.images}
    assert sizes == {(300, 200)}
    text = words(pages)
    assert "Surface marks: a.png" in text and "joint: b.jpg" in text
    assert "Not at hand, or not to be read as a picture: c.jpg, d.jpg." in text
