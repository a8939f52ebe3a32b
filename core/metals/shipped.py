"""The file of metals that the program brings: the one file that the core opens besides the shop's records."""

from __future__ import annotations

from pathlib import Path

NAME = "metals.json"


def shipped_text() -> str:
    """Text of the file: beside the core's modules where it is installed, in ``assets`` of a clone."""
    core = Path(__file__).parent.parent
    installed = core / "assets" / NAME
    path = installed if installed.exists() else core.parent / "assets" / NAME
    return path.read_text("utf-8")
