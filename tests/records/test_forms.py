"""The record as CSV and JSON, read back by Python's own readers."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

import core
from core.records.forms import FORMULA
from core.records.tables import TABLES
from shopapp import made_up_set
from tests.made_up import rib
from tests.records.logs import GAPS, PLANNED, SITES, a_record

REFERENCE = (Path(__file__).parents[2] / "assets" / "part-record.md").read_text("utf-8")


@pytest.fixture(scope="module")
def record():
    return a_record()


def rows_of(record, name):
    (table,) = [table for table in core.record_tables(record) if table.name == name]
    text = core.table_csv(table)
    assert text.startswith("\ufeff") and text.endswith("\r\n")
    return list(csv.DictReader(io.StringIO(text[1:], newline="")))


def test_passes_and_their_strokes(record):
    first, withdrawn = rows_of(record, "passes")
    assert (first["pass"], first["planned_strokes_in_all"], first["strokes_in_all"]) == ("1", "60", "50")
    assert (first["expected_widest_gap_mm"], first["expected_band_mm"]) == ("0.4", "0.196")  # 1.96 * 0.1
    assert (first["done_as_planned"], first["planned_minutes"]) == ("no", "4.5")
    assert first["when"] == "2026-03-14 09:10:00 +01:00"
    assert (withdrawn["status"], withdrawn["changed_by"]) == ("withdrawn", "A. Worker")
    strokes = [row for row in rows_of(record, "strokes") if row["pass"] == "1"]
    assert [row["planned_strokes"] for row in strokes] == list(map(str, PLANNED))
    assert [float(row["at_mm"]) for row in strokes] == [20.0 + 40.0 * i for i in range(SITES)]


def test_numbers_stay_numbers(record):
    readings = rows_of(record, "readings")
    first = [row for row in readings if row["round"] == "1"]
    told = [0.0 if gap == "touching" else gap for gap in GAPS if gap is not None]
    assert [float(row["value_mm"]) for row in first] == told
    assert {row["word"] for row in first} == {"", "touching"}
    twist = [row for row in rows_of(record, "checks") if row["check"] == "twist"]
    assert [float(row["value"]) for row in twist] == [0.4, -0.3]


def test_the_sign_off_closes_the_checks_and_its_formula_is_harmless(record):
    *_, last = rows_of(record, "checks")
    assert (last["check"], last["who"], last["value"]) == ("sign-off", "Zoë Łęcka", "'@ends as agreed")


@pytest.mark.parametrize("sign", FORMULA)
@pytest.mark.parametrize("blank", ["", " ", "\u00a0"])
def test_no_text_runs_as_a_formula(sign, blank):
    """What spreadsheets take as the beginning of a formula; a number below 0 is none."""
    text = f"{blank}{sign}1+1"
    table = core.Table("t", ("a", "b", "c"), ((text, -1.5, f"1{sign}1"),))
    ((told, number, inner),) = list(csv.reader(io.StringIO(core.table_csv(table)[1:], newline="")))[1:]
    assert (told, float(number), inner) == (f"'{text}", -1.5, f"1{sign}1")


def test_json_holds_the_whole_record(record):
    text = core.record_json(record)
    told = json.loads(text)
    assert told == core.record_document(record)
    assert told["schema"] == 1 and told["document"] == json.loads(json.dumps(dict(record.document)))
    assert [r["value_mm"] for r in told["readings"]] == [r.value_mm for r in record.readings]
    assert told["signed"] == {
        "by": "Zoë Łęcka",
        "stamp": {"when": "2026-03-14 10:10:00 +01:00", "who": "A. Worker"},
        "concession": "@ends as agreed",
        "verdicts": {"twist": "within"},
        "seal": "",
        "warnings": [],
    }


def test_a_job_read_back_from_the_record_is_the_same(record):
    again = core.job(json.loads(core.record_json(record))["document"])
    assert again.document == record.document and again.name == record.name


def test_the_reference_names_every_column_and_field(record):
    named = set(re.findall(r"`(\w+)`", REFERENCE))
    columns = {column for header, _ in TABLES.values() for column in header}
    assert columns - named == set()
    fields = set(core.record_document(record)) - {"schema"}
    inner = {key for row in core.record_document(record)["works"] for key in row}
    assert (fields | inner) - named == set()
    units = {"mm", "deg", "minutes", "minute"}
    lengths = {column for column in columns if re.search(r"gap|at_|band|uncertainty_|minutes", column)}
    assert {column for column in lengths if column.rsplit("_")[-1] not in (*units, "taken")} <= {"pass"}


def test_the_reference_names_every_field_of_a_set():
    """Those of a made-up set with charts, capability and a change; what parts hand on is the job's own."""
    with core.Shop(core.MemoryFolder()) as shop:
        made_up_set.fill(shop, rib())
        job = core.job(rib())
        kept = [core.part_done_from(card.summary["done"], job) for card in shop.parts()[::-1]]
    told = core.set_document(core.set_summary(job, kept))
    assert told["capability"] and told["changes"] and told["gaps"]["signals"]
    named = set(re.findall(r"`(\w+)`", REFERENCE[REFERENCE.index("## A set") :]))
    own = [told, *told["parts"], told["gaps"], told["gaps"]["limits"], told["capability"]]
    own += [*told["parts"][0]["passes"], *told["gaps"]["signals"], *told["changes"]]
    assert {name for document in own for name in document} - named == set()
