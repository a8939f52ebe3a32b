"""What README.md and DEVELOPERS.md say is tried out: examples run, commands exist, links lead somewhere."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

import core
from shopapp import cli
from tests.made_up import rib

ROOT = Path(__file__).parent.parent
PAGES = {name: (ROOT / name).read_text("utf-8") for name in ("README.md", "DEVELOPERS.md")}
CI = (ROOT / ".ci" / "run").read_text("utf-8")
EACH_PAGE = pytest.mark.parametrize("page", PAGES)
SETTING_UP = ("apt-get update", "apt-get install -y", "python3 -m venv .venv", ". .venv/bin/activate")
EXAMPLES_SAY = {
    "README.md": ["outside", "shrink"],
    "DEVELOPERS.md": ["outside -> shrink"],
}


def blocks(page: str, language: str) -> list[str]:
    """Fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```", PAGES[page], re.M | re.S)


def commands(page: str) -> list[str]:
    """Lines of shell in fenced blocks, and what stands between backticks in the text."""
    text = re.sub(r"^```.*?^```", "", PAGES[page], flags=re.M | re.S)
    fenced = [line for block in blocks(page, "sh") for line in block.splitlines()]
    return fenced + re.findall(r"`([^`\n]+)`", text)


def two_commands() -> list[str]:
    """The README's two: to run the main job, and to run the tests."""
    return [block.strip() for block in blocks("README.md", "sh")]


@EACH_PAGE
def test_examples_run_as_they_stand(page, tmp_path):
    (example,) = blocks(page, "python")
    run = [sys.executable, "-W", "error", "-c", f"import sys; sys.path.insert(0, {str(ROOT)!r})\n{example}"]
    done = subprocess.run(run, capture_output=True, text=True, cwd=tmp_path, timeout=120)
    assert done.stderr == ""
    lines = done.stdout.splitlines()
    for said, line in zip(EXAMPLES_SAY[page], lines, strict=False):
        assert line.startswith(said)
    assert len(lines) >= len(EXAMPLES_SAY[page])


def test_gapwright_commands_exist(capsys):
    """Every word that follows the program's name is one of its commands, every option one of its options."""
    used = {c for line in commands("README.md") for c in re.findall(r"\bgapwright( [^&|;]*)?", line)}
    assert len(used) >= 4
    for rest in used:
        command, *words = [*rest.split(), ""]
        assert cli.main([command, "--help"] if command and not command.startswith("-") else ["--help"]) == 0
        told = capsys.readouterr().out
        assert all(word in told for word in words if word.startswith("--"))


@EACH_PAGE
def test_modules_and_files_named_in_commands_exist(page):
    for line in commands(page):
        for module in re.findall(r"python3? -m ([a-z_.]+)", line):
            assert find_spec(module) is not None, line
        for path in re.findall(r"(?:tests|core|shopapp|assets)/[\w./-]+", line):
            assert (ROOT / path).exists(), line


@EACH_PAGE
def test_shell_can_be_read_by_a_shell(page):
    for block in blocks(page, "sh"):
        assert subprocess.run(["bash", "-n", "-c", block], capture_output=True).returncode == 0


@EACH_PAGE
def test_links_and_pictures_are_there(page):
    links = re.findall(r"\]\(([^)]+)\)", PAGES[page])
    assert links
    heads = {"#" + head.lower().replace(" ", "-") for head in re.findall(r"^#+ (.*)$", PAGES[page], re.M)}
    assert [link for link in links if link not in heads and not (ROOT / link).exists()] == []


def test_the_readmes_arcs_turn_the_way_it_says():
    """Work > 0 is done by shrinking (DEVELOPERS, signs)."""
    stretched, shrunk = (json.loads(block) for block in blocks("README.md", "json"))
    assert stretched["offsets_mm"] == shrunk["offsets_mm"][::-1]
    text = re.sub(r"\s+", " ", PAGES["README.md"])
    assert "turns right and is stretched;" in text and "turns left and is shrunk." in text
    assert np.all(core.job(rib(line=stretched)).part.target < 0)
    assert np.all(core.job(rib(line=shrunk)).part.target > 0)
    assert np.all(core.job(rib(line__radius="1500 mm")).part.target > 0)


def test_the_readme_has_two_commands_that_set_everything_up():
    assert len(two_commands()) == 2
    for line in two_commands():
        assert "\n" not in line
        steps = [step.strip() for step in line.split("&&")]
        assert all(any(wanted in step for step in steps) for wanted in SETTING_UP)
    run, test = two_commands()
    assert run.endswith("pip install . && gapwright rehearse")
    assert test.endswith("pip install -e '.[test]' && python -m pytest -n auto")


def test_ci_runs_the_readmes_test_command_and_installs_its_packages():
    line = two_commands()[1]
    assert CI.splitlines()[-1] == line.split(" && ")[-1]
    (packages,) = re.findall(r"install -y ([^&]+) &&", line)
    assert f"for package in {packages.strip()}; do" in CI


def test_the_readme_opens_with_the_job_and_then_the_commands():
    """One paragraph before anything else that says what it is for; cautions and limits have their places."""
    heads = re.findall(r"^## (.*)$", PAGES["README.md"], re.M)
    assert heads[0] == "Two commands"
    assert {"Cautions", "How a first job goes", "Limits", "Licence"} <= set(heads)
    assert "gaps" in PAGES["README.md"].split("\n\n")[1]


def test_events_in_the_developers_page_are_those_of_the_log():
    from core.events import FORMS

    table = re.search(r"### Events of the log\n.*?(?=\n## )", PAGES["DEVELOPERS.md"], re.S)[0]
    named = {
        name for row in re.findall(r"^\| (`.*?) \|", table, re.M) for name in re.findall(r"`(\w+)`", row)
    }
    assert named == set(FORMS)
