"""The command that draws a template: the file that it leaves, what it says, and with which exit code."""

from __future__ import annotations

import json
from xml.etree import ElementTree

import pytest

from shopapp import cli
from tests.made_up import bowl, flange, rib


@pytest.fixture
def job_file(tmp_path):
    """A file with a job: write(document) returns its path."""

    def write(document):
        path = tmp_path / "job.json"
        path.write_text(json.dumps({"schema": 1, "job": document}), encoding="utf-8")
        return str(path)

    return write


@pytest.mark.parametrize("document", [rib(), bowl(), flange()], ids=["bar", "dish", "flange"])
def test_a_template_is_drawn_of_every_kind(document, job_file, tmp_path, capsys):
    out = tmp_path / "template.svg"
    assert cli.main(["template", job_file(document), "--out", str(out)]) == cli.FINE
    said, wrong = capsys.readouterr()
    assert wrong == ""
    assert said.startswith(f"{out}: {document['name']}, ")
    root = ElementTree.parse(out).getroot()
    width = float(root.get("width").removesuffix("mm"))
    assert f", {width - 10:.1f} x " in said


@pytest.mark.parametrize(("ending", "begins"), [("dxf", b"  0"), ("PDF", b"%PDF-")])
def test_dxf_and_pdf_are_written_by_the_ending_of_the_name(ending, begins, job_file, tmp_path, capsys):
    pytest.importorskip("ezdxf" if ending == "dxf" else "fpdf")
    out = tmp_path / f"template.{ending}"
    command = ["template", job_file(rib()), "--out", str(out), "--side", "outside"]
    assert cli.main([*command, *(["--sheet", "a3"] if ending == "PDF" else [])]) == cli.FINE
    assert out.read_bytes().startswith(begins)
    said = capsys.readouterr().out
    assert "outside template" in said
    assert ("sheets of A3: " in said) == (ending == "PDF")


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (
            ["--out", "x.png"],
            cli.BAD_INPUT,
            "--out: 'x.png' cannot be used; a name that ends in .svg, .dxf or .pdf",
        ),
        (["--out", "x.svg", "--sheet", "A4"], cli.BAD_INPUT, "--sheet: 'A4' cannot be used; only a PDF"),
        (["--out", "x.pdf", "--sheet", "A5"], cli.BAD_INPUT, "'A5' cannot be used; one of A4, A3 is wanted"),
        (
            ["--out", "x.svg", "--side", "top"],
            cli.BAD_INPUT,
            "side: 'top' cannot be used; one of inside, outside",
        ),
        (["--out", "x.svg", "--half"], cli.BAD_INPUT, "only the meridian of a dish has a half"),
        (["--out", "no/such/folder/x.svg"], cli.NO_FILE, "no such file or directory"),
        ([], cli.USAGE, "--out"),
    ],
)
def test_what_cannot_be_used_is_said(words, code, says, job_file, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    if "A5" in words:
        pytest.importorskip("fpdf")
    assert cli.main(["template", job_file(rib()), *words]) == code
    assert says in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["job.json"]


def test_help_has_an_example(capsys):
    assert cli.main(["template", "--help"]) == 0
    said = capsys.readouterr().out
    assert "gapwright template rib-3.json --out rib-3.pdf --sheet A3" in said
    assert "gapwright[drawings]" in said
