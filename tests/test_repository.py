"""The repository itself: what lies at its top, and what its files must not say."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "shopapp", "core", "tests", "assets"}
HIDDEN = {".ci", ".gitignore"}
LONGEST_MODULE, LONGEST_FUNCTION = 300, 60
# A place on somebody's machine: a slash at the start of a path, and a folder that only a machine has.
MACHINE_PATH = re.compile(r"(?<![\w./~$}])/(?:home|root|tmp|work|srv|mnt|opt|Users)/\w")
SOURCES_OF_FACTS = {  # hosts that a web address may name: standards, papers, data, licences
    *("www.apache.org", "doi.org", "www.bipm.org", "www.iso.org", "www.itl.nist.gov", "physics.nist.gov"),
    "www.w3.org",
    *("ntrs.nasa.gov", "specifications.freedesktop.org", "peps.python.org", "docs.python.org"),
}
# Who writes the project and what was asked for is no part of it. Written so that this file passes too.
NOT_OURS = re.compile(
    r"\b(?:[i]ssues? #?\d+|[p]ull request|[l]anguage model|[c]hat ?bot|AI[ -][a]ssist\w*|[t]ranscript)\b",
    re.I,
)
ASSERTS = re.compile(r"\bassert|\braises\(|check|\bfail\(")
TEXT = {".py", ".kv", ".md", ".toml", ".json", ".csv", ".txt", ""}


def tracked() -> list[Path]:
    """Files under version control that are there now."""
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("this is no clone")
    command = ["git", "-c", "safe.directory=*", "ls-files", "-z"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return [ROOT / name for name in done.stdout.split("\0") if name and (ROOT / name).exists()]


def texts() -> dict[str, str]:
    """Tracked text files by their name."""
    found = (path for path in tracked() if path.suffix in TEXT)
    return {path.relative_to(ROOT).as_posix(): path.read_text("utf-8") for path in found}


def test_the_top_level_is_as_agreed():
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} == TOP
    assert {name for name in names if name.startswith(".")} == HIDDEN


def test_no_file_names_a_place_on_somebodys_machine():
    assert [name for name, text in texts().items() if MACHINE_PATH.search(text)] == []


def test_no_file_speaks_of_anything_but_the_project():
    found = {name: match[0] for name, text in texts().items() if (match := NOT_OURS.search(text))}
    assert found == {}


def test_web_addresses_lead_to_sources_of_facts():
    hosts = {
        (host, name) for name, text in texts().items() for host in re.findall(r"https?://([\w.-]+)", text)
    }
    assert {(host, name) for host, name in hosts if host not in SOURCES_OF_FACTS} == set()


def test_the_licence_is_the_full_text():
    text = (ROOT / "assets" / "LICENSE.txt").read_text("utf-8")
    assert "Version 2.0, January 2004" in text
    assert "END OF TERMS AND CONDITIONS" in text
    assert len(text) > 11_000


def test_modules_and_functions_stay_short():
    long = []
    for name, text in texts().items():
        if not name.endswith(".py") or not name.startswith(("core/", "shopapp/")):
            continue
        if text.count("\n") > LONGEST_MODULE:
            long.append(name)
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef) and node.end_lineno - node.lineno >= LONGEST_FUNCTION:
                long.append(f"{name}:{node.name}")
    assert long == []


def test_no_error_is_passed_over_in_silence():
    """An ``except`` says what it takes and does something with it."""
    quiet = [
        f"{name}:{node.lineno}"
        for name, text in texts().items()
        if name.endswith(".py") and name.startswith(("core/", "shopapp/"))
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.ExceptHandler)
        and (node.type is None or all(isinstance(line, ast.Pass) for line in node.body))
    ]
    assert quiet == []


def test_every_test_asserts_something():
    """By its own word, by an expected error, or through a function that does."""
    bare = [
        f"{name}:{test}"
        for name, text in texts().items()
        if name.startswith("tests/") and name.endswith(".py")
        for test in without_assertion(text)
    ]
    assert bare == []


def without_assertion(source: str) -> list[str]:
    """Tests of a module that assert nothing, nor call a function of the module that does."""
    functions = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.FunctionDef)]
    words = {f.name for f in functions if ASSERTS.search(ast.unparse(f)) and not f.name.startswith("test_")}
    telling = re.compile("|".join([ASSERTS.pattern, *(rf"\b{re.escape(word)}\(" for word in words)]))
    return [f.name for f in functions if f.name.startswith("test_") and not telling.search(ast.unparse(f))]


@pytest.mark.parametrize("path", ["see /{}/me/x", '"/{}/dir"', "'/{}/dir'"])
@pytest.mark.parametrize("top", ["home", "tmp", "work"])
def test_a_machines_path_is_recognised(path, top):
    assert MACHINE_PATH.search(path.format(top))
    assert not MACHINE_PATH.search(f"tests/{top}/x")


@pytest.mark.parametrize("words", [("issue", "7"), ("language", "model")])
def test_what_is_not_ours_is_recognised(words):
    assert NOT_OURS.search(" ".join(words))


def test_a_test_without_an_assertion_is_recognised():
    source = "def held(x):\n    assert x\ndef test_a():\n    held(1)\ndef test_b():\n    f()\n"
    assert without_assertion(source) == ["test_b"]
