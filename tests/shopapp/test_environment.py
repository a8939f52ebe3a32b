"""Where the shop's data lies when nobody says otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopapp.environment import data_folder

HOME = Path("home", "somebody")


@pytest.mark.parametrize(
    ("platform", "environment", "folder"),
    [
        # XDG Base Directory Specification 0.8 (from memory): $XDG_DATA_HOME, else ~/.local/share
        ("linux", {"XDG_DATA_HOME": "elsewhere"}, Path("elsewhere")),
        ("linux", {}, HOME / ".local" / "share"),
        # The other platforms' own guides, from memory
        ("win32", {"LOCALAPPDATA": "local"}, Path("local")),
        ("darwin", {}, HOME / "Library" / "Application Support"),
        ("linux", {"ANDROID_PRIVATE": "private", "XDG_DATA_HOME": "elsewhere"}, Path("private")),
    ],
)
def test_the_platforms_rule_is_kept(platform: str, environment: dict[str, str], folder: Path) -> None:
    found = data_folder("-demo", platform, {"HOME": str(HOME), **environment})
    assert found == folder / "gapwright-demo"


def test_asking_makes_nothing(tmp_path: Path) -> None:
    data_folder(platform="linux", environment={"XDG_DATA_HOME": str(tmp_path)})
    assert not list(tmp_path.iterdir())
