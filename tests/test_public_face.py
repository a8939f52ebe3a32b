"""The face of the core: complete, in order, and every name explained; hints and docstrings all through."""

from __future__ import annotations

import ast
import inspect
from pathlib import Path
from types import ModuleType

import pytest

import core

ROOT = Path(__file__).parent.parent
SOURCES = {path.relative_to(ROOT): path.read_text("utf-8") for path in (ROOT / "core").rglob("*.py")}
OBJECTS = sorted(n for n in core.__all__ if callable(getattr(core, n)))
VALUES = sorted(set(core.__all__) - set(OBJECTS))


def rank(name: str) -> tuple[int, str]:
    """Order of ``__all__``: constants, then classes, then functions, each by name."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2, name)


def public_functions(source: str) -> list[ast.FunctionDef | ast.ClassDef]:
    """Public functions, classes and methods of a module, at any public depth."""
    found, todo = [], [ast.parse(source)]
    while todo:
        for node in ast.iter_child_nodes(todo.pop()):
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                found.append(node)
                if isinstance(node, ast.ClassDef):
                    todo.append(node)
    return found


def explained_values(source: str) -> set[str]:
    """Names of module values with a comment above or beside them, or a text below."""
    lines, found = source.splitlines(), set()
    body = ast.parse(source).body
    for node, after in zip(body, [*body[1:], None], strict=True):
        if not isinstance(node, ast.Assign | ast.AnnAssign):
            continue
        told = (
            lines[node.lineno - 2].startswith("#")
            or "  #" in lines[node.end_lineno - 1]
            or (isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant))
        )
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        found |= {ast.unparse(t) for t in targets} if told else set()
    return found


def test_all_is_complete_and_in_order():
    """Whatever the face imports is on it, and nothing besides."""
    tree = ast.parse(SOURCES[Path("core/__init__.py")])
    imported = {a.asname or a.name for n in tree.body if isinstance(n, ast.ImportFrom) for a in n.names}
    assert set(core.__all__) == imported
    assert core.__all__ == sorted(core.__all__, key=rank)


def test_the_face_holds_nothing_of_its_own():
    tree = ast.parse(SOURCES[Path("core/__init__.py")])
    assert {type(node) for node in tree.body} == {ast.Expr, ast.ImportFrom, ast.Assign}
    assert not any(isinstance(getattr(core, name), ModuleType) for name in core.__all__)


@pytest.mark.parametrize("name", OBJECTS)
def test_every_public_function_and_class_is_explained(name):
    """A docstring of its own: the one that a dataclass makes up only repeats its fields."""
    thing = getattr(core, name)
    if name == "Event":  # a plain dict, explained where its forms are listed
        thing = inspect.getmodule(core.pass_done)
    text = inspect.getdoc(thing) or ""
    assert len(text.split()) >= 3
    assert not text.startswith(f"{name}(")


@pytest.mark.parametrize("name", VALUES)
def test_every_public_value_is_explained(name):
    face = ast.parse(SOURCES[Path("core/__init__.py")])
    (home,) = [
        n.module for n in face.body if isinstance(n, ast.ImportFrom) and name in {a.name for a in n.names}
    ]
    assert name in explained_values(SOURCES[Path(*home.split(".")).with_suffix(".py")])


@pytest.mark.parametrize("path", sorted(SOURCES), ids=str)
def test_public_functions_of_the_core_have_docstrings_and_hints(path):
    bare = [node.name for node in public_functions(SOURCES[path]) if not ast.get_docstring(node)]
    unhinted = [
        node.name
        for node in public_functions(SOURCES[path])
        if isinstance(node, ast.FunctionDef) and node.returns is None
    ]
    assert bare == []
    assert unhinted == []
    assert ast.get_docstring(ast.parse(SOURCES[path]))


@pytest.mark.parametrize(
    "name", ["InputError", "NewerDocument", "StoreError", "DamagedDocument", "ShopInUse"]
)
def test_everything_raised_on_purpose_has_one_base(name):
    assert issubclass(getattr(core, name), core.GapwrightError)


def test_the_checks_above_can_fail():
    assert explained_values("X = 1\n\nY = 2\n'''told'''\nZ = 3  # told\n") == {"Y", "Z"}
    functions = "def f(): ...\nclass A:\n    def g(self): ...\n    def _h(self): ...\n"
    assert [node.name for node in public_functions(functions)] == ["f", "A", "g"]
    assert sorted(["b", "Ab", "C_D"], key=rank) == ["C_D", "Ab", "b"]
