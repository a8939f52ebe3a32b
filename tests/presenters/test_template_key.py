"""The key that draws a part's template, and where it says it is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

import core
from shopapp import templates
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.views import PartView
from tests.made_up import flange
from tests.presenters.conftest import RIB, key, settled


def drawn(session: Session) -> PartView:
    """The key touched, and what the part shows once the screen's thread has done what was waiting."""
    part = PartPresenter(session)
    assert key(part.view(), "template").enabled
    assert part.press("template").said == "Drawing the template …"
    session.finish(session.begin().run())
    assert not session.waiting
    return part.view()


def test_without_a_folder_there_is_no_key(session: Session) -> None:
    assert "template" not in [k.name for k in PartPresenter(settled(session)).view().keys]


def test_both_sides_are_drawn_in_every_form(
    session: Session, advise: Callable[..., None], tmp_path: Path
) -> None:
    pytest.importorskip("fpdf")
    pytest.importorskip("ezdxf")
    session.draw_template = templates.keeper(tmp_path)
    view = drawn(settled(session))
    folder = tmp_path / "templates" / f"Shutter-rib-3-{session.part_id[:8]}"
    assert (view.said, view.complaint) == (f"Template drawn to {folder}", "")
    names = sorted(path.name.removeprefix("Shutter-rib-3-") for path in folder.iterdir())
    each = ["{}-A3.pdf", "{}-A4.pdf", "{}.dxf", "{}.svg"]
    assert names == [name.format(side) for side in ("inside", "outside") for name in each]
    inside = (folder / "Shutter-rib-3-inside.svg").read_bytes()
    assert inside == core.drawing_bytes(core.template_drawing(session.job, "inside"), "svg")


def test_a_square_has_one_side(tmp_path: Path) -> None:
    said = templates.keeper(tmp_path)(core.job(flange()), "part-id")
    assert {path.stem.split("-")[-1] for path in tmp_path.rglob("*.svg")} == {"inside"}
    assert said.startswith("Template drawn to ")


def test_a_line_that_takes_no_rigid_template_is_told(
    session: Session, advise: Callable[..., None], tmp_path: Path
) -> None:
    ring = core.job({**RIB, "line": {"radius": "150 mm", "length": "600 mm"}, "template": "layout line"})
    draw = templates.keeper(tmp_path)
    session.draw_template = lambda _, part_id: draw(ring, part_id)
    view = drawn(settled(session))
    assert view.complaint.startswith("Not drawn: ")
    assert (view.said, list(tmp_path.iterdir())) == ("", [])


def test_without_the_packages_the_svg_is_drawn_and_that_is_said(
    session: Session, advise: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(templates, "find_spec", lambda name: None)
    session.draw_template = templates.keeper(tmp_path)
    assert drawn(settled(session)).said.endswith("; no DXF and no PDF: pip install 'gapwright[drawings]'")
    assert {path.suffix for path in tmp_path.rglob("*.*")} == {".svg"}
