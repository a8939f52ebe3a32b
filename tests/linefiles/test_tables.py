"""Tables of points: every writing gives the same line; what is unclear is asked, what is wrong is named."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

import core

POINTS = [[0.0, 0.0], [100.5, 3.25], [200.0, 12.5], [300.0, 28.0]]


def line_of(text, name="rib.csv", **said):
    content = text if isinstance(text, bytes) else text.encode()
    return core.read_line_file(content, name, **said)


@pytest.mark.parametrize(
    "text",
    [
        "x [mm],y [mm]\n0,0\n100.5,3.25\n200,12.5\n300,28\n",
        "x [mm];y [mm]\n0;0\n100,5;3,25\n200;12,5\n300;28\n",
        "x_mm\ty_mm\r\n0\t0\r\n100,5\t3,25\r\n200\t12,5\r\n300\t28\r\n",
        "# off the drawing, mm\n0 0\n100.5   3.25\n\n200 12.5\n300 28\n",
        "mm\n0 0\n100,5 3,25\n200 12,5\n300 28\n",
        "Station;Offset\nm;mm\n0;0\n0,1005;3,25\n0,2;12,5\n0,3;28\n",
        "no;y in mm;x in mm\n1;0;0\n2;3.25;100.5\n3;12.5;200\n4;2.8e1;3E2\n",
        '"x, mm";"y, mm"\n"0";"0"\n"100,5";"3,25"\n"200";"12,5"\n"300";"28"\n',
        "0 mm, 0 mm\n100.5 mm, 3.25 mm\n200 mm, 12.5 mm\n300 mm, 28 mm\n",
        "x,y\n".encode("utf-8-sig") + b"0 mm,0 mm\n100.5mm,3.25mm\n200mm,12.5mm\n300mm,28mm",
        "x (mm)\ty (mm)\n0\t0\n100,5\t3,25\n200\t12,5\n300\t28\n".encode("utf-16"),
        "x (cm);y (cm)\n0;0\n10,05;0,325\n20;1,25\n30;2,8\n".encode("cp1252"),
    ],
)
def test_one_line_in_every_writing(text):
    (line,) = line_of(text).lines
    assert line.line == {"offsets_mm": POINTS}
    assert line.points == 4
    assert line.drawn_mm == pytest.approx(sum(np.hypot(*np.diff(POINTS, axis=0).T)))


def test_an_inch_is_25_4_mm_and_what_is_said_goes_before_the_file():
    """The inch of 1959, 25.4 mm exactly (BIPM, SI Brochure)."""
    text = "x [in];y [in]\n0;0\n1;0,25\n2;1,5\n"
    assert line_of(text).lines[0].line == {"offsets_mm": [[0.0, 0.0], [25.4, 6.35], [50.8, 38.1]]}
    found = line_of(text, unit="mm")
    assert found.lines[0].line == {"offsets_mm": [[0.0, 0.0], [1.0, 0.25], [2.0, 1.5]]}
    assert found.notes[0] == "The file says its unit, in; mm was said besides, and is taken."


@pytest.mark.parametrize("text", ["0,0\n100,3\n200,12\n", "x;y\n0;0\n100;3\n200;12\n"])
def test_a_unit_that_is_said_nowhere_is_asked_for(text):
    with pytest.raises(core.UnitWanted) as asked:
        line_of(text)
    assert asked.value.size_in(25.4) == "5080.0 mm by 304.8 mm"
    assert "reach over 200 by 12" in str(asked.value)
    assert line_of(text, unit="mm").lines[0].line == {"offsets_mm": [[0.0, 0.0], [100.0, 3.0], [200.0, 12.0]]}


@pytest.mark.parametrize(
    ("text", "place", "wanted"),
    [
        ("x mm;y mm\n0;0\n1,500;2\n3,000;9", "line 3", "the comma may be read two ways"),
        ("x mm;y mm\n0;0\n1,5;2\n3.5;9", "line 4", "one decimal sign throughout"),
        ("x mm,y mm\n0,0\nnan,2\n3,4", "line 3", "a number such as 12.5"),
        ("x mm,y mm\n0,0\n1e999,2\n3,4", "line 3", "a finite number"),
        ("x mm,y mm\n0,0\n1,2,\n3,\n", "line 4", "a number such as 12.5"),
        ("x mm,y mm\n0,0\n1e6,2\n3,4", "line 3", "at most 50 m is wanted; is the unit right?"),
        ("x mm;y mm\n0;0\n1;2\n1;2\n4;4", "line 4", "other than the one before"),
        ("x mm;y mm\n0 mm;0\n1;2", "line 3", "the unit of the rows before, mm"),
        ("x mm;y mm\n0;0\n1 kg;2", "line 3", "a length, with a unit such as mm"),
        ("1,2,3,4\n5,6,7,8", "line 1", "semicolons between the columns"),
        ("x mm,y mm\n0,0\n250,12,5\n500,50", "line 3", "decimals after a comma need semicolons"),
        ("a;b;c\n1;2;3\n", "line 2", "a heading that names them x and y"),
        ("just words", "line 1", "a table of points"),
        ("", "line 1", "a table of points"),
        ("x mm,y mm\n0,0\n1,2", "line 2", "3 to 2000 points are wanted"),
        ("x mm,y mm\n" + "\n".join(f"{i},{i % 2}" for i in range(2001)), "line 2002", "at most 2000 points"),
        ("x mm,y mm\n0,0\n" + "1" * 2000 + ",0", "line 3", "lines of at most 1000 characters"),
        ("x mm,y mm\n" + "0,0\n" * 20_000, "line 20001", "at most 20000 lines"),
        (b"\0\1\2\3", "rib.csv", "a table in text form"),
        (b"0" * 10_000_001, "rib.csv", "at most 10000000 bytes"),
    ],
)
def test_a_mistake_names_the_line_of_the_file_and_what_would_be_right(text, place, wanted):
    with pytest.raises(core.InputError) as wrong:
        line_of(text)
    assert wrong.value.field == ("rib.csv" if place == "rib.csv" else f"rib.csv, {place}")
    assert wanted in wrong.value.expected


def test_traced_points_are_smoothed_by_what_they_may_be_off():
    """A circle of 500 mm, 40 points off it by 0.2 mm: the job takes the line, its length as the arc's."""
    angle = np.linspace(0.0, 1.2, 40)
    off = 500.0 + np.random.default_rng(4).normal(0.0, 0.2, 40)
    text = "x mm;y mm\n" + "\n".join(
        f"{r * np.sin(a)};{500 - r * np.cos(a)}" for a, r in zip(angle, off, strict=True)
    )
    (line,) = line_of(text, tracing_sd="0.2 mm").lines
    assert line.line["tracing_sd_mm"] == pytest.approx(0.2)
    assert line.length_mm == pytest.approx(600.0, abs=0.5)
    assert line.tightest_mm == pytest.approx(500.0, rel=0.05)
    with pytest.raises(core.InputError, match="tracing_sd"):
        line_of(text, tracing_sd="0.2")


def test_the_other_names_of_a_file_are_refused():
    with pytest.raises(core.InputError, match="one of csv, tsv, txt, dxf, svg is wanted"):
        line_of("0,0", name="rib.xlsx")
    with pytest.raises(core.InputError, match="unit: 'ell' cannot be used"):
        line_of("0,0", unit="ell")


def test_the_example_of_the_reference_is_read():
    text = (Path(__file__).parent.parent.parent / "assets" / "line-files.md").read_text("utf-8")
    (example,) = re.findall(r"^```csv\n(.*?)^```", text, re.M | re.S)
    assert line_of(example).lines[0].line == {"offsets_mm": POINTS}
    assert {f".{ending}" for ending in core.LINE_FILE_FORMS} <= set(re.findall(r"`(\.\w+)`", text))
