"""The command that writes records: the files that it leaves, what it says, and with which exit code."""

from __future__ import annotations

import csv
import json

import pytest

import core
from shopapp import cli, filenames
from tests.records.logs import DOCUMENT, a_log

STEM = "Żebro-Ω-3"


@pytest.fixture
def part_file(tmp_path):
    path = tmp_path / "part.json"
    path.write_text(core.write_document(DOCUMENT, a_log()), "utf-8")
    return str(path)


def test_tables_and_json_need_no_further_package(part_file, tmp_path, capsys):
    out = tmp_path / "out"
    assert cli.main(["record", part_file, "--to", str(out), "--form", "csv", "--form", "json"]) == cli.FINE
    said, wrong = capsys.readouterr()
    assert wrong == ""
    names = [
        f"{STEM}-{name}"
        for name in ("passes.csv", "strokes.csv", "readings.csv", "checks.csv", "later.csv", "record.json")
    ]
    assert sorted(path.name for path in out.iterdir()) == sorted(names)
    assert [line.partition(": ")[0] for line in said.splitlines()] == [str(out / name) for name in names]
    assert all(", Signed off by Zoë Łęcka, 2026-03-14 10:10" in line for line in said.splitlines())
    with (out / f"{STEM}-readings.csv").open(encoding="utf-8-sig", newline="") as file:
        assert len(list(csv.DictReader(file))) == 9 + 12 + 2
    assert json.loads((out / f"{STEM}-record.json").read_text("utf-8"))["name"] == "Żebro Ω 3"


def test_pdf_and_card(part_file, tmp_path, capsys):
    pytest.importorskip("fpdf")
    command = ["record", part_file, part_file, "--to", str(tmp_path), "--form", "pdf", "--form", "card"]
    assert cli.main(command) == cli.FINE
    for name in (f"{STEM}-record.pdf", f"{STEM}-card.pdf", f"{STEM}-2-record.pdf"):
        assert (tmp_path / name).read_bytes().startswith(b"%PDF-")
    assert "-card.pdf: Żebro Ω 3" in capsys.readouterr().out


def test_the_log_goes_with_its_seals_and_into_another_shop(tmp_path, capsys):
    """As it was: whole by its seals, taken by another shop, and an edit of it is named on its record."""
    data, out = tmp_path / "shop", tmp_path / "out"
    with core.Shop(data) as shop:
        part = shop.open(shop.new_part({**DOCUMENT, "name": "Rib"}))
        for event in (core.gaps_read([0.3] * 10), core.signed_off("A. Worker")):
            part.append(event)
    assert cli.main(["record", "--data", str(data), "--to", str(out), "--form", "log", "Rib"]) == cli.FINE
    file = out / "Rib-log.json"
    assert cli.main(["check", str(file)]) == cli.FINE
    assert cli.main(["take", str(out), "--data", str(tmp_path / "other")]) == cli.FINE
    with core.Shop(tmp_path / "other") as shop:
        (card,) = shop.parts()
        assert shop.open(card.id).events == part.events
    capsys.readouterr()
    file.write_text(file.read_text("utf-8").replace("0.3", "0.1"), "utf-8")
    assert cli.main(["check", str(file)]) == 4
    assert cli.main(["record", str(file), "--to", str(out), "--form", "json"]) == cli.FINE
    (broken,) = json.loads((out / "Rib-record.json").read_text("utf-8"))["broken"]
    assert broken.startswith("Entry 1, gaps read") and "was changed after it was recorded" in broken


def test_parts_of_the_shop_by_name_and_by_id(tmp_path, capsys):
    data = tmp_path / "shop"
    with core.Shop(data) as shop:
        twice = [shop.new_part({**DOCUMENT, "name": "Rib", "tolerance": "50 mm"}) for _ in range(2)]
        shop.new_part({**DOCUMENT, "name": "Other", "tolerance": "50 mm"})
    command = ["record", "--data", str(data), "--to", str(tmp_path), "--form", "json"]
    assert cli.main([*command, "Other", twice[1]]) == cli.FINE
    assert (tmp_path / "Other-record.json").exists() and (tmp_path / "Rib-record.json").exists()
    assert "NOT SIGNED OFF" in capsys.readouterr().out
    assert cli.main([*command, "Rib"]) == cli.BAD_INPUT
    assert "2 parts have that name; one of their ids is wanted" in capsys.readouterr().err
    assert cli.main([*command, "None"]) == cli.BAD_INPUT
    assert "a file, or the name or id of a part of the shop, is wanted" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (
            ["--form", "xls"],
            cli.BAD_INPUT,
            "--form: 'xls' cannot be used; one of pdf, card, csv, json, log is wanted",
        ),
        (["none.json"], cli.BAD_INPUT, "there is no such file, and no shop in"),
        (["--to", "part.json", "--form", "json"], cli.NO_FILE, "part.json"),
    ],
)
def test_what_cannot_be_used_is_said(words, code, says, part_file, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    parts = [] if words[0] == "none.json" else [part_file]
    assert cli.main(["record", "--data", str(tmp_path / "no-shop"), *parts, *words]) == code
    assert says in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["part.json"]


def test_reference_and_help(capsys):
    assert cli.main(["record", "--reference"]) == 0
    assert "# The record of a part" in capsys.readouterr().out
    assert cli.main(["record", "--help"]) == 0
    assert "gapwright record rib-3.json" in capsys.readouterr().out


def test_names_of_files_are_safe_on_any_system():
    for name, stem in {
        "Shutter rib 3": "Shutter-rib-3",
        "../../etc/x": "etc-x",
        "Żebro Ω": "Żebro-Ω",
        "///": "part",
        "a" * 200: "a" * 60,
        'x:y*?"<>|': "x-y",
    }.items():
        assert filenames.stem_of(name) == stem


def test_the_summary_of_a_set_is_written_by_the_ending_of_its_name(part_file, tmp_path, capsys):
    command = ["set", part_file, part_file, "--out"]
    assert cli.main([*command, str(tmp_path / "ribs.csv")]) == cli.FINE
    assert capsys.readouterr().out.strip() == f"{tmp_path / 'ribs.csv'}: set of 2 parts"
    with (tmp_path / "ribs.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["part"], row["name"], row["passes"], row["strokes"]) for row in rows] == [
        ("1", "Żebro Ω 3", "1", "50"),
        ("2", "Żebro Ω 3", "1", "50"),
    ]
    assert cli.main([*command, str(tmp_path / "ribs.txt")]) == cli.BAD_INPUT
    assert "a name that ends in .pdf, .csv, .json is wanted" in capsys.readouterr().err
