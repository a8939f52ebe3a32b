"""The reference of the job document: its examples run, nothing is left out, its figures are in force."""

from __future__ import annotations

import copy
import json
import re
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import core
from core.dimensions import FEED, LENGTH, STRESS, TIME
from core.events import FORMS
from core.geometry.offsets import LEAST_OFFSETS
from core.geometry.traced import LEAST_TRACED
from core.jobdoc import RESPONSE_MOST
from core.jobfields import Fields
from core.joblimits import ELONGATION_SHARE, EVEN_SHARE
from core.joblimits import FIELDS as LIMITS
from core.joblog import KNOWN, RECORD
from core.jobtool import BITES, FREE_SHARE
from core.jobtypes import FINISHES
from core.kinds.dish_document import FORMS as DISHES
from core.kinds.flange_document import FORMS as OUTLINES
from core.kinds.line_document import FORMS as LINES
from core.kinds.methods import METHODS
from core.kinds.registry import KINDS
from core.kinds.section_document import OPTIONAL
from core.limits import Limits
from core.plan.minutes import HOLD_S, READ_S, SEAT_S
from core.readings.templates import ACROSS, INSIDE, SQUARE
from shopapp import cli

TEXT = (Path(__file__).parent.parent.parent / "assets" / cli.REFERENCE).read_text("utf-8")
EXAMPLES = [json.loads(block) for block in re.findall(r"^```json\n(.*?)^```", TEXT, re.M | re.S)]
WHOLE = EXAMPLES[0]
NAMED = set(re.findall(r"`\"?([\w ]+?)\"?`", TEXT))
QUOTED = set(re.findall(r'"([^"\n]+)"', TEXT))


def whole(example: Any) -> dict[str, Any]:
    """The first example with what this one changes: fields of the job, its kind, or another log; or a whole
    one."""
    if isinstance(example, dict) and "job" in example:
        return copy.deepcopy(example)
    document = copy.deepcopy(WHOLE)
    if "kind" in example:
        for field in ("line", "section", "pitch"):
            del document["job"][field]
    if isinstance(example, list):
        document["events"] = example
    else:
        document["job"] |= example
        document["events"] = []
    return document


def row(name: str) -> list[str]:
    """Cells of the one table row that begins with this field, or with this name where it stands in quotes."""
    begins = name if name.startswith('"') else f"`{name}`"
    (line,) = re.findall(rf"^\| {begins}.*$", TEXT, re.M)
    return [cell.strip() for cell in line.strip("|").split("|")]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: json.dumps(e)[:60])
def test_every_example_runs(example):
    given = core.read_document(json.dumps(whole(example)))
    advice = core.refit(given.job, given.events)
    assert advice.next_pass is not None
    assert advice.suspects == ()
    rounds = [e for e in core.effective(given.events) if e["event"] == "gaps_read"]
    assert (advice.verdict == "not measured") == (not rounds)


def test_the_same_points_from_the_other_end_change_the_side():
    lines = [e for e in EXAMPLES if "line" in e and "offsets_mm" in e["line"]]
    longer, shorter = lines[:2]
    assert longer["line"]["offsets_mm"] == shorter["line"]["offsets_mm"][::-1]
    assert np.all(core.job(whole(longer)["job"]).part.target < 0)
    assert np.all(core.job(whole(shorter)["job"]).part.target > 0)


def test_every_field_that_a_reader_asks_for_is_named(monkeypatch):
    """Whatever the readers of documents look for while they read all examples."""
    asked: set[str] = set()
    real = Fields.has

    def noted(self, key):
        asked.add(key)
        return real(self, key)

    monkeypatch.setattr(Fields, "has", noted)
    for example in EXAMPLES:
        core.read_document(json.dumps(whole(example)))
    free = {"first notch", "full", "light", "medium", "heavy"}  # names of bites
    plain = {key.removesuffix("_mm") for key in asked} - free
    assert plain - NAMED - {"shrink", "stretch"} == set()
    assert len(plain) > 40


def test_every_choice_is_named():
    choices = {*core.SHAPES, *core.METALS, *core.GAUGES, *core.TEMPLATES, *ACROSS, *KINDS}
    choices |= {*METHODS, *FINISHES}
    choices |= {word for words in core.WORKED_FLANGES.values() for word in words}
    assert choices - QUOTED == set()
    used = {form for form in LINES if any(form in str(e.get("line")) for e in EXAMPLES if "line" in e)}
    assert used == set(LINES)
    assert set(OUTLINES) <= NAMED
    dishes = [e for e in EXAMPLES if "shape" in e]
    assert {form for form in DISHES if any(form in key for e in dishes for key in e["shape"])} == set(DISHES)
    units = {unit for dimension in (LENGTH, STRESS, TIME) for unit in dimension.spellings}
    words = set(re.findall(r"\w+", TEXT))
    assert {u for u in units if re.fullmatch(r"[A-Za-z]+", u)} - words <= {"inch", "inches"}
    assert all(re.search(rf"[(, ]{re.escape(unit)}[,)]", TEXT) for unit in FEED.spellings)


def test_every_size_of_a_section_stands_in_its_row():
    for shape, sizes in core.SHAPES.items():
        said = " ".join(row(f'"{shape}"'))
        assert all(f"`{size}`" in said for size in (*sizes, *OPTIONAL.get(shape, ()))), shape


def test_defaults_are_those_in_force():
    prior = asdict(core.ResponsePrior())
    for name in RESPONSE_MOST:
        (cells,) = [
            [c.strip() for c in line.strip("|").split("|")]
            for line in TEXT.splitlines()
            if line.startswith("| `") and f"`{name}`" in line.split("|")[1]
        ]
        names = re.findall(r"`(\w+)`", cells[0])
        assert f"{prior[name]:g}" == cells[2].split(", ")[names.index(name)], name
    assert row("uneven_sd`, `uneven_length")[2] == f"0.11, {prior['uneven_length_mm']:g} mm"
    tool = core.Tool(1.0, 1.0, 0.1, {})
    assert row("strokes_per_minute")[2].split()[0] == f"{tool.strokes_per_minute:g}"
    assert row("face")[2] == tool.face
    assert f"{tool.changing_s(other=True) / 60.0:g} min (" in row("change_time")[2]
    assert tool.changing_s(other=False) == 0.0 and row("change_time")[2].endswith("other none")
    assert row("actions")[2].startswith("both") and tool.actions == ("shrink", "stretch")
    assert row("rated_strength")[2].startswith(f"{core.Machine().rated_strength_mpa:g} MPa (")
    assert row("finish")[2] == core.Job.finish
    for seconds in (HOLD_S, SEAT_S, READ_S):
        assert f" {seconds:g} s " in TEXT[TEXT.index("### How long it takes") :]
    assert row("bites")[2] == ", ".join(f"{name} {strength:g}" for name, strength in BITES.items())
    assert row("confidence")[2] == f"{core.Job.confidence:g}"
    assert row("overshoot_risk")[2] == f"{core.Job.overshoot_risk:g}"
    limits = Limits()
    for field, limit in (("strain_per_pass", limits.per_pass), ("strain_total", limits.in_all)):
        assert row(field)[2] == f"{limit.strain:g} ({limit.source})"
    assert row("risk")[2].startswith(f"{100 * limits.in_all.risk:g} %: three standard deviations")
    assert row("strain_per_pass_risk")[2].startswith(f"{100 * limits.per_pass.risk:g} % (")
    assert row("stretch_since_anneal")[2].startswith(f"{EVEN_SHARE:g} of the hardening exponent")
    assert row("stretch_by_elongation")[2].startswith(f"{ELONGATION_SHARE:g} of ln(1 + elongation")
    assert all(f"up to {most:g}" in row(field)[1] for field, (_, most) in LIMITS.items())
    assert FREE_SHARE == 0.25 and row("free_length")[2] == "a quarter of the patch"
    assert f"{INSIDE.sd_mm:g} mm if nothing is said, of a square {SQUARE.sd_mm:g} mm" in TEXT
    assert (
        f"at least {LEAST_OFFSETS};" in row("offsets")[1] and f"at least {LEAST_TRACED}," in row("traced")[1]
    )


@pytest.mark.parametrize("gauge", core.GAUGES.values(), ids=lambda g: g.name)
def test_gauges_are_told_as_they_are(gauge):
    figures = (gauge.step_mm, gauge.repeatability_mm, gauge.largest_mm)
    assert row(f'"{gauge.name}"')[1:] == [f"{mm:g} mm" for mm in figures]


def test_every_event_has_a_row_with_its_fields():
    log = TEXT[TEXT.index("## The log") :]
    rows = dict(re.findall(r"^\| `(\w+)` \| (.*) \|$", log, re.M))
    assert set(rows) == set(FORMS)
    for name, needed in FORMS.items():
        for field in {*needed, *KNOWN.get(name, ())}:
            assert f"`{field}`" in rows[name], (name, field)
    before = log[: log.index("| event |")]
    assert {f"`{field}`" for field in RECORD if field != "event"} - set(re.findall(r"`\w+`", before)) == set()
    lists = [e if isinstance(e, list) else e.get("events", []) for e in EXAMPLES[1:]]
    used = {event["event"] for log in lists for event in log}
    assert set(FORMS) - used == {"gaps_read", "signed_off"} - used


def test_it_is_printed_whole(capsys):
    assert cli.main(["next", "--reference"]) == cli.FINE
    out, err = capsys.readouterr()
    assert (out.strip(), err) == (TEXT.strip(), "")


def test_the_help_leads_to_it_and_tells_the_sides(capsys):
    assert cli.main(["next", "--help"]) == cli.FINE
    out = capsys.readouterr().out
    assert "gapwright next --reference" in out
    sides = re.findall(r'"line": (\{.*\})\s+turns \w+: (\w+)', out)
    assert [side for _, side in sides] == ["stretch", "shrink"]
    for line, side in sides:
        target = core.job(whole({"line": json.loads(line)})["job"]).part.target
        assert np.all(target > 0) if side == "shrink" else np.all(target < 0)
    (event,) = re.findall(r'^  (\{"event": "gaps_read".*\})$', out, re.M)
    assert json.loads(event.replace("[...]", "[]"))["gauge"] in core.GAUGES
