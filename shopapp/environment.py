"""Where the shop's data lies on this platform, and what Kivy must find set before it is imported."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Mapping
from pathlib import Path

NAME = "gapwright"
KIVY = {
    "KIVY_NO_ARGS": "1",  # the command line is ours
    "KIVY_NO_CONFIG": "1",  # nothing is written into the home folder
    "KIVY_NO_FILELOG": "1",
    "KIVY_NO_CONSOLELOG": "1",
    "KIVY_LOG_MODE": "PYTHON",  # Kivy's own mode swallows tracebacks
    "KCFG_KIVY_EXIT_ON_ESCAPE": "0",
    "KCFG_GRAPHICS_MULTISAMPLES": "0",  # costs half of the drawing time without a graphics card
    "KCFG_INPUT_MOUSE": "mouse,multitouch_on_demand",  # a right click is no second finger
}
PHONES = ("android", "ios")


def prepare_kivy() -> None:
    """Set what is not set already; to be called before the first import of Kivy."""
    for name, value in KIVY.items():
        os.environ.setdefault(name, value)
    log = logging.getLogger("kivy")
    log.setLevel(logging.ERROR)
    log.addFilter(_not_about_mtdev)


def prepare_numbers() -> None:
    """Matrices here are small: threads cost more than they bring. To be called before NumPy is imported."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


def _not_about_mtdev(record: logging.LogRecord) -> bool:
    """Kivy reports a library for touch screens as an error where it is not installed; we do not use it."""
    return "MTDev" not in record.getMessage()


def drop_extra_inputs(platform: str = sys.platform) -> None:
    """Keep one source of touches: the device files that Kivy reads besides give every tap twice."""
    from kivy.config import Config

    if platform in PHONES:
        return
    for name, _ in Config.items("input"):
        if name != "mouse":
            Config.remove_option("input", name)


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
