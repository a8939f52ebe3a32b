"""The wheel: built, installed in a fresh environment, and used from another folder.

The environment gets the wheel and nothing else of this project. What the wheel depends on it borrows from the
environment of the tests, so that no network is needed; that nothing undeclared is imported is held by
test_architecture.py.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SHIPPED = {"core": "core", "shopapp": "shopapp", "assets": "shopapp/assets"}
FOLDERS = {"win32": "Scripts"}
pytestmark = pytest.mark.slow


def run(*command: str | Path, cwd: Path, **environment: str) -> str:
    """Standard output of a command that must succeed, away from the checkout and its settings."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env={**kept, **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    program = f"from hatchling.build import build_wheel; build_wheel({str(folder)!r})"
    run(sys.executable, "-c", program, cwd=ROOT)
    (found,) = folder.glob("gapwright-*-py3-none-any.whl")
    return found


@pytest.fixture(scope="module")
def programs(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder of the programs of a fresh environment with the wheel in it."""
    folder = tmp_path_factory.mktemp("environment") / "venv"
    run(sys.executable, "-m", "venv", folder, cwd=folder.parent)
    found = folder / FOLDERS.get(sys.platform, "bin")
    run(found / "python", "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", wheel, cwd=folder)
    places = run(found / "python", "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=folder)
    borrowed = Path(places.strip()) / "borrowed.pth"
    borrowed.write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return found


def shipped_files() -> set[str]:
    """What the wheel has to hold: every source, kv file and asset, by its name inside the wheel."""
    apart = {"core/assets/metals.json"}  # the core is to stand alone, so it brings its one file itself
    return apart | {
        (target / path.relative_to(ROOT / top)).as_posix()
        for top, target in ((top, Path(target)) for top, target in SHIPPED.items())
        for path in (ROOT / top).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_holds_everything_and_nothing_else(wheel):
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    inside = {name for name in names if ".dist-info/" not in name}
    assert inside == shipped_files()
    assert {"shopapp/assets/LICENSE.txt", "shopapp/screens/base.kv", "core/__init__.py"} <= inside


def test_its_description_names_licence_and_needs(wheel):
    with zipfile.ZipFile(wheel) as archive:
        (name,) = [n for n in archive.namelist() if n.endswith(".dist-info/METADATA")]
        lines = archive.read(name).decode("utf-8").splitlines()
    assert "License-Expression: Apache-2.0" in lines
    assert "Requires-Python: >=3.11" in lines
    needs = [line for line in lines if line.startswith("Requires-Dist:") and "extra ==" not in line]
    assert len(needs) == 4


def test_the_checkout_is_out_of_reach(programs, tmp_path):
    """Else the next tests would prove nothing: both packages come from the fresh environment."""
    says = run(
        programs / "python",
        "-c",
        "import core, shopapp; print(core.__file__, shopapp.__file__)",
        cwd=tmp_path,
    )
    assert all(Path(place).is_relative_to(programs.parent) for place in says.split())


def test_the_rehearsal_runs_from_another_folder(programs, tmp_path):
    data = tmp_path / "data"
    says = run(programs / "gapwright", "rehearse", "gutter-rib", "--data", data, cwd=tmp_path)
    assert "All parts reached their tolerance." in says
    record = json.loads((data / "gutter-rib.json").read_text("utf-8"))
    assert record["events"][-1]["event"] == "signed_off"
    assert run(programs / "gapwright", "--version", cwd=tmp_path).split()[1][0].isdigit()


def test_the_touch_app_opens_from_another_folder(programs, tmp_path):
    """Its kv files are found, and its first screen is painted, without a display."""
    program = (
        "from shopapp import headless; headless.prepare(); "
        "import core; from shopapp.app import GapwrightApp; "
        "driver = headless.Driver(GapwrightApp(core.Shop(core.MemoryFolder())), (1280, 800)); "
        "driver.start(); print('first screen', driver.app.navigation.name); driver.stop()"
    )
    says = run(programs / "python", "-c", program, cwd=tmp_path, KIVY_HOME=str(tmp_path / "kivy"))
    assert "first screen bench" in says
