"""A line from a file: listed, asked about, looked at, taken into the set-up; nothing is taken half."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

import core
from shopapp.dropped import DropFolder, DroppedInMemory
from shopapp.presenters.line_file import LineFilePresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.setup_rows import MOST_ROWS

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
BOW = "".join(f"{100 * i},{2.0 * i * i}\n" for i in range(9))
TWO = (
    '<svg width="2000mm" height="200mm" viewBox="0 0 2000 200"><path id="sill" d="M0 0h50"/>'
    '<path id="rib" d="M 0 50 a 1500 1500 0 0 0 900 0"/><path d="M9 9 h1 a 5 5 0 0 0 5 5"/></svg>'
)
TEXTS = {"bow.csv": BOW, "two.svg": TWO, "wrong.csv": "x mm,y mm\n0,0\n1,nan\n", "notes.pdf": "x"}


@pytest.fixture
def session():
    shop = core.Shop(core.MemoryFolder())
    session = Session(shop, lambda: NOON)
    dates = (NOON + timedelta(hours=h) for h in range(len(TEXTS)))
    session.folders.lines = DroppedInMemory(
        {name: (at, text.encode()) for (name, text), at in zip(TEXTS.items(), dates, strict=True)}
    )
    return session


@pytest.fixture
def files(session):
    return LineFilePresenter(session)


def opened(files, name):
    rows = {row.value: row.name for row in files.press("list").rows}
    return files.press(rows[name])


def fact(view, label):
    return next(fact.value for fact in view.facts if fact.label == label)


def test_files_are_listed_by_name_and_date_the_newest_first(files):
    view = files.view()
    assert [(row.value, row.label) for row in view.rows] == [
        ("wrong.csv", "2026-03-14 14:00"),
        ("two.svg", "2026-03-14 13:00"),
        ("bow.csv", "2026-03-14 12:00"),
    ]
    assert view.listing and view.outline is None


def test_an_empty_folder_says_where_to_put_files(session, files):
    session.folders.lines.files = {}
    (said,) = files.view().sentences
    assert "csv, tsv, txt, dxf, svg into the folder line-files" in said


def test_a_mistake_names_the_line_of_the_file(files):
    view = opened(files, "wrong.csv")
    assert view.warnings == ("wrong.csv, line 3: “nan”: a number such as 12.5 is wanted",)
    assert [key.name for key in view.keys] == ["list"]
    assert files.press("list").listing


def test_a_unit_that_is_not_said_is_asked_for_with_the_size_in_each(files):
    view = opened(files, "bow.csv")
    assert "which is it?" in view.question
    assert fact(view, "In mm it would be") == "800.0 mm by 128.0 mm"
    assert fact(view, "In in it would be") == "20.3 m by 3.25 m"
    view = files.press("unit:cm")
    assert fact(view, "Unit") == "cm"
    assert fact(view, "Length").startswith("81")
    assert view.question == ""


def test_the_line_is_drawn_to_scale_with_its_worked_edge_at_the_left(files):
    opened(files, "bow.csv")
    view = files.press("unit:mm")
    points, worked = np.array(view.outline.points), np.array(view.outline.worked)
    np.testing.assert_allclose(points[[0, -1]], [[0, 0], [800, 128]], atol=1e-6)
    assert worked[0][1] > points[0][1]
    turned = files.press("other_end")
    np.testing.assert_allclose(np.array(turned.outline.points)[0], [800, 128], atol=1e-6)
    assert np.array(turned.outline.worked)[-1][1] < 0.0
    assert fact(view, "Turns in all").endswith("to the left")
    assert fact(turned, "Turns in all").endswith("to the right")


def test_of_several_lines_one_after_the_other_is_looked_at(files):
    view = opened(files, "two.svg")
    assert fact(view, "In the file") == "path rib, 1 of 2"
    assert fact(view, "Tightest radius").startswith("1500.0 mm")
    assert any("a line without corners is wanted" in said for said in view.sentences)
    view = files.press("next")
    assert fact(view, "In the file") == "path sill, 2 of 2"
    assert fact(view, "Tightest radius") == "straight"
    assert fact(files.press("next"), "In the file") == "path rib, 1 of 2"


@pytest.mark.parametrize(
    ("name", "keys", "form", "line"),
    [
        ("bow.csv", ["unit:mm"], "offsets", [["0.0 mm", "0.0 mm"], ["100.0 mm", "2.0 mm"]]),
        ("bow.csv", ["unit:mm", "other_end"], "offsets", [["800.0 mm", "128.0 mm"], ["700.0 mm", "98.0 mm"]]),
        ("bow.csv", ["unit:mm", "traced"], "traced", [["0.0 mm", "0.0 mm"], ["100.0 mm", "2.0 mm"]]),
        ("two.svg", [], "segments", [["914.077962 mm", "1500.0 mm"]]),
    ],
)
def test_what_is_taken_is_the_line_of_the_set_up(session, files, name, keys, form, line):
    opened(files, name)
    for key in keys:
        files.press(key)
    assert files.press("take").go == "setup"
    assert files.view().listing
    setup = SetupPresenter(session)
    setup.press("step:line")
    assert setup._draft.form_name == form
    document = setup._check().job.document["line"]
    assert document[form][: len(line)] == line
    assert document.get("tracing_sd", "0.3 mm") == "0.3 mm"
    assert setup.view().outline is not None


def test_traced_needs_eight_points_and_says_so(session, files):
    session.folders.lines.files["bow.csv"] = (NOON, b"x mm,y mm\n0,0\n100,2\n200,8\n")
    opened(files, "bow.csv")
    view = files.press("traced")
    assert "8 to 2000 points are wanted" in view.complaint
    assert fact(view, "Points") == "3"


def test_nothing_is_taken_from_a_file_that_cannot_be_used(session, files):
    opened(files, "wrong.csv")
    assert "first touch a file" in files.press("take").complaint
    assert session.line_taken is None


def test_a_long_table_is_not_shown_row_by_row_and_what_is_wrong_with_it_is_said(session):
    count = MOST_ROWS + 1
    session.line_taken = {"offsets_mm": [[10.0 * i, 0.01 * i * i] for i in range(count)]}
    setup = SetupPresenter(session)
    view = setup.press("step:line")
    assert view.table.rows == () and view.table.keys == ()
    assert f"{count} rows, too many to show one by one." in view.side_text
    session.line_taken = {"offsets_mm": [[1e6 * i, 0.0] for i in range(count)]}
    view = setup.press("step:line")
    said = [text for text in setup.press("step:plan").complaints if text.startswith("Line: ")]
    assert len(said) == 1 and "at most 50000.0 mm is wanted" in said[0]
    assert "at most 50000.0 mm is wanted" in setup.press("step:line").table.complaint


def test_a_dish_takes_its_meridian_and_a_flange_its_outline(session, files):
    """A table of heights for the one, an arc for the other; points are no outline, and that is said."""
    frame = '<svg width="900mm" height="900mm" viewBox="0 0 900 900">{}</svg>'
    arc = frame.format('<path d="M0 0 a 300 300 0 0 0 300 300"/>')
    table = "r mm;z mm\n0;0\n80;10,9\n140;34,7\n180;60\n"
    session.folders.lines.files = {"arc.svg": (NOON, arc.encode()), "bowl.csv": (NOON, table.encode())}
    setup = SetupPresenter(session)
    taken = {}
    for kind, row in (("dish", 1), ("flange", 0)):
        setup.press("step:job")
        setup.press(f"choose:kind={kind}")
        setup.press("step:line")
        assert setup.press("file").go == "line_file"
        files.view()
        files.press(f"open:{row}")
        assert files.press("take").go == "setup"
        taken[kind] = setup.view()
    assert [row[1].value for row in taken["dish"].table.rows] == ["0.0", "10.9", "34.7", "60.0"]
    assert [row[1].value for row in taken["flange"].table.rows] == ["300.0"]
    assert taken["dish"].outline is not None and taken["flange"].outline is not None
    files.view()
    files.press("open:1")
    assert "arcs and straights" in files.press("take").complaint


def test_the_folder_on_disk(tmp_path):
    folder = DropFolder(tmp_path / "shop")
    assert folder.listing(("csv",)) == ()
    place = tmp_path / "shop" / "line-files"
    (place / "a.CSV").write_text("1,2", encoding="utf-8")
    (place / "b.txt").write_text("1,2", encoding="utf-8")
    (place / "c.csv").mkdir()
    assert [one.name for one in folder.listing(("csv",))] == ["a.CSV"]
    assert folder.read("a.CSV") == b"1,2"
    with core.Shop(tmp_path / "shop") as shop:
        assert shop.parts() == [] and shop.damaged() == []


def test_a_file_that_is_gone_meanwhile_is_said(session, files):
    row = files.view().rows[0].name
    session.folders.lines.files = {}
    assert "it cannot be read: no such file" in files.press(row).complaint
