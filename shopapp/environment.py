"""Where the shop's data lies on this platform, and what Kivy must find set before it is imported."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

NAME = "gapwright"
# Kivy would otherwise swallow the command line, write into the home folder, hide tracebacks from the
# log and quit on the Escape key of a keyboard. Antialiasing by the window costs more than it shows.
KIVY = {
    "KIVY_NO_ARGS": "1",
    "KIVY_NO_CONFIG": "1",
    "KIVY_NO_FILELOG": "1",
    "KIVY_LOG_MODE": "PYTHON",
    "KCFG_KIVY_EXIT_ON_ESCAPE": "0",
    "KCFG_GRAPHICS_MULTISAMPLES": "0",
}


def prepare_kivy() -> None:
    """Set what is not set already; to be called before the first import of Kivy."""
    for name, value in KIVY.items():
        os.environ.setdefault(name, value)


def data_folder(
    suffix: str = "", platform: str = sys.platform, environment: Mapping[str, str] = os.environ
) -> Path:
    """The platform's own folder for the data of this program; it is not created here.

    suffix : sets another shop apart, such as "-demo".
    """
    name = NAME + suffix
    home = Path(environment.get("HOME") or environment.get("USERPROFILE") or Path.home())
    if environment.get("ANDROID_PRIVATE"):
        return Path(environment["ANDROID_PRIVATE"]) / name
    if platform == "win32":
        return Path(environment.get("LOCALAPPDATA") or home / "AppData" / "Local") / name
    if platform == "darwin":
        return home / "Library" / "Application Support" / name
    return Path(environment.get("XDG_DATA_HOME") or home / ".local" / "share") / name
