"""A folder of jobs: looked through, each looked at, those without a mistake taken, nothing taken half."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

import core
from shopapp.dropped import JOBS, DropFolder, DroppedInMemory
from shopapp.presenters import job_files
from shopapp.presenters.bench import BenchPresenter
from shopapp.presenters.job_files import JobFilesPresenter
from shopapp.presenters.session import Session
from tests.made_up import bowl, flange, rib
from tests.presenters.conftest import key, settled

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
SITES = len(core.job(rib()).part.sites)


def text(job, *events):
    return core.write_document(job, events).encode()


FILES = {
    "b.json": text(rib(name="Begun rib"), core.pass_done("shrink", [1] * SITES)),
    "c.json": text(rib(section__thickness="40 mm")),
    "d.json": b"{",
    "e.json": text(bowl(name="Bowl")),
    "f.json": text(flange(name="Edge")),
    "notes.txt": b"no job",
}


@pytest.fixture
def session():
    session = Session(core.Shop(core.MemoryFolder()), lambda: NOON)
    session.folders.jobs = DroppedInMemory({name: (NOON, content) for name, content in FILES.items()})
    return session


@pytest.fixture
def files(session):
    assert BenchPresenter(session).press("jobs").go == "job_files"
    files = JobFilesPresenter(session)
    assert files.press("list").busy == "Looking at 5 files …"
    settled(session)
    return files


def names(session):
    return {card.name: card.event_count for card in session.shop.parts()}


def all_taken(files, touched):
    """The view once nothing more is to be taken in, as the screen goes on by itself."""
    view = files.press(touched)
    while view.then:
        view = files.press(view.then)
    return view


def test_every_file_is_listed_with_what_is_wrong_with_it(files, session):
    view = files.view()
    assert view.listing and not view.busy
    assert [(row.value, row.state) for row in view.rows] == [
        ("Begun rib", "ok"),
        ("a mistake", "over"),
        ("a mistake", "over"),
        ("Bowl", "ok"),
        ("Edge", "ok"),
    ]
    assert view.rows[1].label.startswith("c.json: Section, thickness: “40 mm”: ")
    assert view.rows[2].label.startswith("d.json: “{”: it is not JSON at line 1")
    assert not any("section.thickness" in row.label for row in view.rows)
    assert key(view, "all").text == "Take all 3" and names(session) == {}


def test_what_the_shop_has_is_found_by_slices_that_say_how_far_it_is(files, session, monkeypatch):
    """With a clock of which every look takes a second, each slice is one file; none is taken meanwhile."""
    all_taken(files, "all")
    seconds = iter(range(1000))
    monkeypatch.setattr(job_files, "monotonic", lambda: next(seconds))
    files.press("again")
    settled(session)
    view, told = files.view(), []
    while view.then:
        told.append((view.busy, key(view, "all").enabled))
        view = files.press(view.then)
    assert told == [(f"Looking whether the shop has them: {n} of 5 are done …", False) for n in (3, 4)]
    assert [row.label.partition(": ")[2] for row in view.rows if row.state == "plain"] == ["in the shop"] * 3
    assert not view.busy and not key(view, "all").enabled and len(names(session)) == 3


def test_those_without_a_mistake_are_taken_with_their_logs(files, session):
    view = all_taken(files, "all")
    assert view.question == "3 parts taken; on the bench now"
    assert names(session) == {"Begun rib": 1, "Bowl": 0, "Edge": 0}
    assert not key(view, "all").enabled
    assert [row.label for row in view.rows if row.value == "Bowl"] == ["e.json: in the shop"]
    files.press("again")
    settled(session)
    assert not key(files.view(), "all").enabled and len(names(session)) == 3


def test_many_are_taken_in_by_slices_that_say_how_far_it_is(files, session, monkeypatch):
    """With a clock of which every look takes a second, each slice is one job."""
    files.view()
    seconds = iter(range(1000))
    monkeypatch.setattr(job_files, "monotonic", lambda: next(seconds))
    view, told = files.press("all"), []
    while view.then:
        told.append((view.busy, len(names(session)), key(view, "all").enabled))
        assert not view.question
        view = files.press(view.then)
    assert told == [(f"Taking them in: {n} of 3 are done …", n, False) for n in (1, 2)]
    assert view.question == "3 parts taken; on the bench now" and len(names(session)) == 3


def test_another_one_that_is_taken_meanwhile_joins_the_rest(files, session, monkeypatch):
    """Nothing is taken twice, and all are counted."""
    files.view()
    seconds = iter(range(1000))
    monkeypatch.setattr(job_files, "monotonic", lambda: next(seconds))
    files.press("open:4")
    assert files.press("take").question == "1 part taken; on the bench now"
    files.press("all")
    files.press("open:3")
    assert not key(files.view(), "take").enabled and files.press("take").complaint
    view = all_taken(files, "list")
    assert view.question == "2 parts taken; on the bench now" and len(names(session)) == 3


def test_one_is_looked_at_before_it_is_taken(files, session):
    view = files.press("open:3")
    assert view.outline is not None and not view.listing
    assert {fact.label: fact.value for fact in view.facts}["Part"] == "Bowl"
    view = all_taken(files, "take")
    assert view.listing and view.question == "1 part taken; on the bench now"
    assert names(session) == {"Bowl": 0}
    assert not key(files.press("open:3"), "take").enabled
    assert files.press("take").complaint and names(session) == {"Bowl": 0}


def test_a_mistake_names_the_field_and_what_would_be_right(files, session):
    (warning,) = files.press("open:1").warnings
    assert warning.startswith("Section, thickness: “40 mm”: more than 0.00 mm and at most 25.00 mm")
    (warning,) = files.press("open:2").warnings
    assert "line 1" in warning
    assert [k.name for k in files.view().keys] == ["list"]


def test_an_empty_folder_says_where_to_put_files(session):
    session.folders.jobs = DroppedInMemory(place=JOBS)
    view = JobFilesPresenter(session).press("list")
    assert "json into the folder job-files" in view.sentences[0] and not session.waiting


def test_a_disk_that_fails_is_told_and_what_was_taken_is_taken(files, session, monkeypatch):
    taken = session.shop.import_part

    def fails(document):
        if '"Bowl"' in document:
            raise core.StoreError("disk", "is full")
        return taken(document)

    monkeypatch.setattr(session.shop, "import_part", fails)
    view = all_taken(files, "all")
    assert "is full" in view.complaint and names(session) == {"Begun rib": 1}
    assert key(view, "all").text == "Take all 2"


def test_the_folder_on_disk(session, tmp_path):
    session.folders.jobs = DropFolder(tmp_path, JOBS)
    files = JobFilesPresenter(session)
    files.press("list")
    (tmp_path / "job-files" / "e.json").write_bytes(FILES["e.json"])
    files.press("again")
    settled(session)
    (tmp_path / "job-files" / "e.json").unlink()
    assert [row.value for row in files.view().rows] == ["Bowl"]
    assert key(files.view(), "all").text == "Take it"
    files.press("again")
    assert files.view().rows == ()
