"""The commands that read lines from files and take a folder of jobs: what they say, leave, and end with."""

from __future__ import annotations

import json

import pytest

import core
from shopapp import cli
from tests.made_up import rib

TABLE = "x [mm];y [mm]\n0;0\n300;4,5\n600;18\n900;40,5\n1200;72\n"
TWO = (
    '<svg width="2000mm" height="100mm" viewBox="0 0 2000 100"><path d="M0 0h50"/>'
    '<path d="M 0 50 a 1500 1500 0 0 0 900 0"/></svg>'
)


@pytest.fixture
def file(tmp_path):
    """file(name, text) writes one and gives its path."""

    def write(name, text):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def test_the_line_of_a_table_goes_straight_into_a_job(file, capsys):
    assert cli.main(["line", file("rib.csv", TABLE)]) == cli.FINE
    said, told = capsys.readouterr()
    job = core.job({**rib(), **json.loads(said)})
    assert job.part.length_mm == pytest.approx(1202.9, abs=0.5)
    assert "rib.csv: table, numbers in mm\n  1  table: 5 points, 1202.9 mm long" in told
    assert "tightest radius 9976.2 mm" in told and "turns left by 6.8° in all" in told


def test_several_lines_are_listed_and_one_is_picked(file, capsys):
    path = file("two.svg", TWO)
    assert cli.main(["line", path]) == cli.BAD_INPUT
    said, told = capsys.readouterr()
    assert said == ""
    assert "  1  path: 2 points, 914.1 mm long, tightest radius 1500.0 mm" in told
    assert "  2  path: 2 points, 50.00 mm long, straight" in told
    assert "--pick: None cannot be used; the number of a line, 1 to 2, is wanted" in told
    assert cli.main(["line", path, "--pick", "1", "--other-end"]) == cli.FINE
    said, told = capsys.readouterr()
    assert "turns right by" in told  # as it is put out
    ((length, radius),) = json.loads(said)["line"]["segments_mm"]
    assert (length, radius) == pytest.approx((914.08, -1500.0), abs=0.01)


@pytest.mark.parametrize(
    ("name", "text", "words", "code", "says"),
    [
        (
            "a.csv",
            "0,0\n1,1\n2,4\n",
            [],
            cli.BAD_INPUT,
            "a.csv, line 1: say the unit, one of mm, cm, m",
        ),
        ("a.csv", "0,0\n1,1\n2,4\n", ["--unit", "ell"], cli.BAD_INPUT, "unit: 'ell'"),
        ("a.csv", "x mm,y mm\n0,0\n1,nan\n", [], cli.BAD_INPUT, "a.csv, line 3: 'nan' cannot be used"),
        ("a.csv", TABLE, ["--pick", "2"], cli.BAD_INPUT, "1 to 1"),
        ("a.svg", TWO, ["--tracing-sd", "1 mm"], cli.BAD_INPUT, "only a table of points is taken as traced"),
        ("a.doc", "", [], cli.BAD_INPUT, "one of csv, tsv, txt, dxf, svg"),
        ("a.csv", TABLE, ["--pick", "one"], cli.USAGE, "invalid int value"),
    ],
)
def test_what_cannot_be_used_is_said(name, text, words, code, says, file, capsys):
    assert cli.main(["line", file(name, text), *words]) == code
    said, told = capsys.readouterr()
    assert says in told
    assert said == ""


def test_a_file_that_is_not_there(capsys):
    assert cli.main(["line", "no-such.csv"]) == cli.NO_FILE
    assert "no-such.csv: no such file or directory" in capsys.readouterr().err


@pytest.fixture
def jobs(tmp_path):
    """A folder with two sound jobs, one of them with a log, and three that are not."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    sound = {"schema": 1, "job": rib(name="Sound rib")}
    done = core.pass_done("shrink", [1] * len(core.job(rib()).part.sites))
    logged = {"schema": 1, "job": rib(name="Begun rib"), "events": [done]}
    short = {**logged, "events": [done, core.pass_done("shrink", [1])]}
    for name, document in {
        "a.json": sound,
        "b.json": logged,
        "c.json": {"schema": 1, "job": rib(section__thickness="40 mm")},
        "d.json": short,
    }.items():
        (folder / name).write_text(json.dumps(document), encoding="utf-8")
    (folder / "e.json").write_text("{", encoding="utf-8")
    (folder / "notes.txt").write_text("no job", encoding="utf-8")
    return folder


def test_a_folder_of_jobs_is_taken_each_whole_or_not_at_all(jobs, tmp_path, capsys):
    shop = tmp_path / "shop"
    assert cli.main(["take", str(jobs), "--data", str(shop)]) == cli.BAD_INPUT
    lines = capsys.readouterr().out.splitlines()
    assert lines[:2] == ["a.json: taken, Sound rib", "b.json: taken, Begun rib"]
    assert [line[:17] for line in lines[2:]] == [f"{name}.json: not taken" for name in "cde"]
    assert "section.thickness" in lines[2]
    assert "strokes" in lines[3]
    with core.Shop(shop) as opened:
        assert sorted((card.name, card.event_count) for card in opened.parts()) == [
            ("Begun rib", 1),
            ("Sound rib", 0),
        ]


def test_what_the_shop_has_is_not_taken_twice_and_a_check_takes_nothing(jobs, tmp_path, capsys):
    for name in "cde":
        (jobs / f"{name}.json").unlink()
    shop = tmp_path / "shop"
    command = ["take", str(jobs), "--data", str(shop)]
    assert cli.main([*command, "--check"]) == cli.FINE
    assert "a.json: nothing is wrong with it, Sound rib" in capsys.readouterr().out
    assert not shop.exists()
    assert cli.main(command) == cli.FINE
    capsys.readouterr()
    assert cli.main(command) == cli.FINE
    assert capsys.readouterr().out.splitlines()[0] == "a.json: in the shop already, Sound rib"
    with core.Shop(shop) as opened:
        assert len(opened.parts()) == 2


def test_a_folder_without_jobs(tmp_path, capsys):
    assert cli.main(["take", str(tmp_path)]) == cli.BAD_INPUT
    assert "files ending in .json are wanted in it" in capsys.readouterr().err
    assert cli.main(["take", str(tmp_path / "none")]) == cli.NO_FILE


def test_a_line_is_told_as_the_field_that_a_dish_or_a_flange_takes(file, capsys):
    path = file("bowl.csv", "r mm;z mm\n0;0\n80;10,9\n140;34,7\n180;60\n")
    assert cli.main(["line", path, "--as", "shape"]) == cli.FINE
    shape = json.loads(capsys.readouterr().out)["shape"]
    assert shape == {"profile_mm": [[0, 0], [80, 10.9], [140, 34.7], [180, 60]]}
    assert cli.main(["line", path, "--as", "outline"]) == cli.BAD_INPUT
    assert "arcs and straights" in capsys.readouterr().err
    assert cli.main(["line", path, "--as", "wing"]) == cli.BAD_INPUT
    assert "one of line, outline, shape is wanted" in capsys.readouterr().err
