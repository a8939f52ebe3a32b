"""The key that writes a part's record, and where it says it is."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import core
from shopapp import recording
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.views import PartView
from tests.presenters.conftest import RIB, SITES, key, settled


def worked(session: Session) -> Session:
    session.log(core.pass_done("shrink", [3] * SITES))
    session.log(core.gaps_read([0.3] * SITES))
    return settled(session)


def written(session: Session, part: PartPresenter) -> PartView:
    """What the part shows once the screen's thread has done what was waiting."""
    assert session.waiting
    session.finish(session.begin().run())
    assert not session.waiting
    return part.view()


def test_without_a_folder_there_is_no_key(session: Session) -> None:
    view = PartPresenter(worked(session)).view()
    assert "record" not in [k.name for k in view.keys]


def test_the_record_is_written_and_its_place_said(
    session: Session, advise: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("fpdf")
    session.keep_record = recording.keeper(tmp_path)
    part = PartPresenter(worked(session))
    assert key(part.view(), "record").enabled
    assert part.press("record").said == "Writing the record …"
    view = written(session, part)
    folder = tmp_path / "records" / f"Shutter-rib-3-{session.part_id[:8]}"
    assert view.said == f"Record written to {folder}"
    assert view.complaint == ""
    names = sorted(path.name.removeprefix("Shutter-rib-3-") for path in folder.iterdir())
    tables = [
        "checks.csv",
        "later.csv",
        "log.json",
        "passes.csv",
        "readings.csv",
        "record.json",
        "record.pdf",
        "strokes.csv",
    ]
    assert names == ["card.pdf", *tables]
    told = json.loads((folder / "Shutter-rib-3-record.json").read_text("utf-8"))
    assert [w["in_all"] for w in told["works"]] == [3 * SITES]
    assert part.press("result").said == ""


def test_a_record_of_another_part_is_not_told_of_this_one(
    session: Session, advise: Callable[..., None], tmp_path: Path
) -> None:
    session.keep_record = lambda record, part_id: f"{record.name} at {part_id}"
    part = PartPresenter(worked(session))
    part.press("record")
    work = session.begin()
    session.open(session.shop.new_part({**RIB, "name": "Other"}))
    session.finish(work.run())
    assert part.view().said == ""


def test_without_the_package_the_tables_are_written_and_that_is_said(
    session: Session, advise: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "fpdf", None)
    monkeypatch.setattr(recording, "find_spec", lambda name: None)
    session.keep_record = recording.keeper(tmp_path)
    part = PartPresenter(worked(session))
    part.press("record")
    view = written(session, part)
    assert view.said.endswith("no PDF, for which the package fpdf2 is wanted")
    assert {path.suffix for path in (tmp_path / "records").rglob("*.*")} == {".csv", ".json"}


def test_a_folder_that_cannot_be_written_is_told(
    session: Session, advise: Callable[..., None], tmp_path: Path
) -> None:
    (tmp_path / "records").write_text("in the way", "utf-8")
    session.keep_record = recording.keeper(tmp_path)
    part = PartPresenter(worked(session))
    part.press("record")
    view = written(session, part)
    assert view.complaint.startswith("Not written: something else lies where its folder")
    assert str(tmp_path) not in view.complaint
    assert view.said == ""
