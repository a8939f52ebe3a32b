"""Where the record lies when nobody says otherwise."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from core.store import default_folder


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the rule of freedesktop.org's platforms")
def test_the_platforms_rule_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification 0.8: data under $XDG_DATA_HOME, else ~/.local/share (from memory)."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_folder() == tmp_path / "gapwright"
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_folder() == tmp_path / ".local" / "share" / "gapwright"


def test_asking_makes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_folder().is_absolute()
    assert not list(tmp_path.iterdir())
