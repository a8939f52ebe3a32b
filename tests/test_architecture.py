"""The arrows between the modules, walked with ast; the layers are those of the table in DEVELOPERS.md."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import core
from core.kinds.registry import KINDS

ROOT = Path(__file__).parent.parent
OURS = ("core", "shopapp")
FILE_MODULES = {
    *(
        "os",
        "io",
        "pathlib",
        "shutil",
        "tempfile",
        "glob",
        "fileinput",
        "mmap",
        "sqlite3",
        "pickle",
        "shelve",
    ),
    *(
        "subprocess",
        "socket",
        "urllib",
        "http",
        "importlib",
        "zipfile",
        "tarfile",
        "ctypes",
        "multiprocessing",
    ),
}
FILE_CALLS = {
    *("open", "exec", "eval", "compile", "load", "loadtxt", "genfromtxt", "fromfile", "memmap"),
    *("save", "savez", "savetxt", "tofile", "read_text", "read_bytes", "write_text", "write_bytes"),
}
OPENS_ONE_FILE = {"core.metals.shipped": {"pathlib", "read_text"}}  # the metals that the program brings
EXTRAS = {
    "ezdxf": ("ezdxf", {"core.drawing.dxf", "core.linefiles.dxf"}),
    "fpdf": ("fpdf2", {"core.drawing.paper"}),
    "PIL": ("pillow", {"shopapp.photos"}),
}
"""packages that only drawings and records need: what each is declared as, who imports it, lazily"""
USES_FILES = {  # outside core.store: what they open is said in each module's own words
    "shopapp.cli": "the drawing that a command writes",
    "shopapp.terminal": "the document that a command reads",
    "shopapp.line_command": "the name of a file",
    "shopapp.take_command": "lists a folder of jobs",
    "shopapp.recording": "the records of parts that are asked for",
    "shopapp.photos": "photos that a record shows",
    "shopapp.templates": "the templates of parts that are asked for",
    "shopapp.record_command": "is handed the folder for records",
    "shopapp.set_command": "is handed the name of the file for a summary",
    "shopapp.rehearse": "the plain record left beside the shop",
    "shopapp.dropped": "files with target lines, dropped beside the shop's records",
    "shopapp.environment": "names the data folder",
    "shopapp.app": "is handed the data folder",
    "shopapp.sizes": "what a display says of its own size",
    "shopapp.headless": "pictures",
    "shopapp.screenshots": "pictures",
    "shopapp.screens.base": "the kv file beside a screen",
}
KIVY_ALLOWED = re.compile(
    r"shopapp\.(app|navigation|headless|environment|screenshots|(screens|widgets)(\..*)?)$"
)


@dataclass(frozen=True)
class Module:
    """name : dotted; tree : of its source; imports : ours and others', dotted, lazy ones included;
    typed_only : those of them that only type checkers see"""

    name: str
    tree: ast.Module
    imports: frozenset[str]
    typed_only: frozenset[str]

    @property
    def ours(self) -> set[str]:
        """Imports of this project."""
        return {name for name in self.imports if name.split(".")[0] in OURS}

    @property
    def others(self) -> set[str]:
        """Top-level packages that are neither ours nor Python's."""
        tops = {name.split(".")[0] for name in self.imports}
        return tops - set(OURS) - set(sys.stdlib_module_names)


def read_modules(root: Path) -> dict[str, Module]:
    """Every module of the project by its dotted name."""
    paths = {_dotted(path.relative_to(root)): path for top in OURS for path in (root / top).rglob("*.py")}
    return {name: read_module(name, path.read_text("utf-8"), paths) for name, path in paths.items()}


def read_module(name: str, source: str, known: Mapping[str, object]) -> Module:
    """One module from its source; ``known`` tells submodules from names inside a module."""
    tree = ast.parse(source)
    typed = {
        node
        for block in ast.walk(tree)
        if isinstance(block, ast.If) and "TYPE_CHECKING" in ast.unparse(block.test)
        for node in ast.walk(block)
    }
    every, typed_names, run_names = set(), set(), set()
    for node in ast.walk(tree):
        names = set(_imported(node, known))
        every |= names
        (typed_names if node in typed else run_names).update(names)
    return Module(name, tree, frozenset(every), frozenset(typed_names - run_names))


def _dotted(path: Path) -> str:
    return ".".join(path.with_suffix("").parts).removesuffix(".__init__")


def _imported(node: ast.AST, known: Mapping[str, object]) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        assert node.level == 0, "imports are written out from the top"
        base = node.module or ""
        yield from (f"{base}.{a.name}" if f"{base}.{a.name}" in known else base for a in node.names)


def called(tree: ast.AST) -> Iterator[str]:
    """Names of plain calls and of numpy's or a path's methods that touch files."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            function = node.func
            if isinstance(function, ast.Name):
                yield function.id
            elif isinstance(function, ast.Attribute) and _is_numpy_or_path(function.value):
                yield function.attr


def _is_numpy_or_path(value: ast.expr) -> bool:
    text = ast.unparse(value)
    return text in ("np", "numpy") or "Path(" in text or text.endswith("path")


def layers(text: str) -> list[list[str]]:
    """The table of layers of a text, top first: dotted names, one layer a line, no remarks."""
    blocks = re.findall(r"^```layers\n(.*?)^```", text, re.M | re.S)
    return [line.split(":")[0].split() for block in blocks for line in block.splitlines() if line.strip()]


def place(name: str, table: list[list[str]]) -> tuple[int, str]:
    """Layer (0 is the top) and entry of the table that a module belongs to: the longest that fits it."""
    fits = [
        (len(entry), rank, entry)
        for rank, line in enumerate(table)
        for entry in line
        if name == entry or (name.startswith(entry + ".") and entry not in OURS)
    ]
    assert fits, f"{name} has no place in the layers of DEVELOPERS.md"
    _, rank, entry = max(fits)
    return rank, entry


def against_the_layers(modules: Mapping[str, Module], table: list[list[str]]) -> list[str]:
    """Imports that go up, or sideways between two entries of one layer."""
    wrong = []
    for module in modules.values():
        rank, entry = place(module.name, table)
        for target in module.ours:
            below, other = place(target, table)
            if target != "core" and entry != other and below <= rank:
                wrong.append(f"{module.name} imports {target}")
            if target == "core" and not module.name.startswith("shopapp"):
                wrong.append(f"{module.name} imports the face")
    return sorted(wrong)


MODULES = read_modules(ROOT)
TABLE = layers((ROOT / "DEVELOPERS.md").read_text("utf-8"))


def within(*prefixes: str) -> dict[str, Module]:
    """Modules that are one of these, or inside one."""
    return {
        name: module
        for name, module in MODULES.items()
        if any(name == p or name.startswith(p + ".") for p in prefixes)
    }


def test_imports_only_go_down_the_layers_of_the_developers_page():
    assert against_the_layers(MODULES, TABLE) == []


def test_every_entry_of_the_layers_is_a_module():
    assert [entry for line in TABLE for entry in line if entry not in MODULES] == []


def bound(tree: ast.Module) -> set[str]:
    """Names that a module binds at its top level, inside ``if`` and ``try`` too."""
    found: set[str] = set()
    todo: list[ast.AST] = [tree]
    while todo:
        for node in ast.iter_child_nodes(todo.pop()):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                found.add(node.name)
            elif isinstance(node, ast.Import | ast.ImportFrom):
                found |= {(a.asname or a.name).split(".")[0] for a in node.names}
            elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                found.add(node.id)
            else:
                todo.append(node)
    return found


def missing(module: Module, modules: Mapping[str, Module]) -> list[str]:
    """What a module imports from ours by a name that is not there, lazy imports included."""
    return [
        f"{module.name}: {node.module}.{alias.name}"
        for node in ast.walk(module.tree)
        if isinstance(node, ast.ImportFrom) and _top(node.module or "") in OURS
        for alias in node.names
        if f"{node.module}.{alias.name}" not in modules and alias.name not in bound(modules[node.module].tree)
    ]


def test_what_is_imported_from_ours_is_there():
    assert [name for module in MODULES.values() for name in missing(module, MODULES)] == []


def test_no_cycles():
    """Between modules as they run. What only type checkers see may look back: a view's own presenter."""
    graph = {name: module.ours - module.typed_only for name, module in MODULES.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(" -> ".join(error.args[1]))


def test_the_core_knows_no_kivy_and_no_app():
    wrong = {
        n: m.imports
        for n, m in within("core").items()
        if any(_top(i) in ("kivy", "shopapp") for i in m.imports)
    }
    assert wrong == {}


def test_only_drawing_code_imports_kivy():
    assert [n for n, m in MODULES.items() if "kivy" in m.others and not KIVY_ALLOWED.fullmatch(n)] == []
    assert any("kivy" in m.others for m in MODULES.values())


def test_presenters_import_no_kivy_not_even_through_others():
    reached = set(within("shopapp.presenters"))
    while True:
        further = {i for name in reached for i in MODULES[name].ours if i in MODULES} | reached
        if further == reached:
            break
        reached = further
    assert [name for name in reached if "kivy" in MODULES[name].others] == []


def test_only_the_store_opens_files_in_the_core():
    """And one module the one file that the core brings along, which it reads and never writes."""
    wrong = {}
    for name, module in within("core").items():
        if name.startswith("core.store"):
            continue
        found = {_top(i) for i in module.imports} & FILE_MODULES | set(called(module.tree)) & FILE_CALLS
        if found != OPENS_ONE_FILE.get(name, set()):
            wrong[name] = sorted(found)
    assert wrong == {}
    takers = {name for name, module in MODULES.items() if set(OPENS_ONE_FILE) & module.ours}
    assert takers == {"core.metals.table"}


def test_few_modules_of_the_app_touch_files():
    found = set()
    for name, module in within("shopapp").items():
        if {_top(i) for i in module.imports} & {"pathlib", "io", "shutil", "tempfile", "glob"}:
            found.add(name)
        if set(called(module.tree)) & FILE_CALLS:
            found.add(name)
    assert found - set(USES_FILES) == set()


def test_only_the_face_imports_the_store():
    takers = {n for n, m in MODULES.items() if any(i.startswith("core.store") for i in m.ours)}
    assert {n for n in takers if not n.startswith("core.store")} == {"core"}


def test_the_store_knows_no_mathematics():
    """It keeps documents; errors, events and JSON are all that it needs to know of them."""
    allowed = {"core.errors", "core.events", "core.jsontext"}
    used = {i for m in within("core.store").values() for i in m.ours if not i.startswith("core.store")}
    assert used <= allowed


def test_the_simulated_bar_knows_nothing_of_the_estimator():
    reached, todo = set(), set(within("core.simulate"))
    while todo:
        name = todo.pop()
        reached.add(name)
        todo |= {i for i in MODULES[name].ours if i in MODULES} - reached
    thinking = ("core.estimate", "core.plan", "core.verdict", "core.refitting", "core.reasons")
    assert [name for name in reached if name.startswith(thinking)] == []


def test_whoever_thinks_about_parts_never_asks_which_kind_it_is():
    """Of the kinds, estimate, plan, verdict and screens see the contract alone, never a kind of part."""
    thinking = within(
        "core.estimate",
        "core.plan",
        "core.verdict",
        "core.readings",
        "core.reasons",
        "core.refitting",
        "core.trial",
    )
    seen = {i for m in thinking.values() for i in m.ours if i.startswith(("core.kinds", "core.geometry"))}
    assert seen == {"core.kinds.base"}


def test_no_comparison_with_the_name_of_a_kind_outside_the_kinds():
    wrong = [
        f"{name}:{node.lineno}"
        for name, module in MODULES.items()
        if not name.startswith("core.kinds")
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Compare | ast.match_case) and names_a_kind(node)
    ]
    assert wrong == []


def names_a_kind(node: ast.AST) -> bool:
    """Whether a comparison or a case holds the name of a kind of part, or asks for a job's kind."""
    inside = list(ast.walk(node.pattern if isinstance(node, ast.match_case) else node))
    literal = any(isinstance(n, ast.Constant) and n.value in KINDS for n in inside)
    asked = any(isinstance(n, ast.Attribute) and n.attr == "kind" and _is_job(n.value) for n in inside)
    return literal or asked


def _is_job(value: ast.expr) -> bool:
    return ast.unparse(value).split(".")[-1] == "job"


def test_the_app_uses_the_core_through_its_face_alone():
    names = set(core.__all__)
    wrong = []
    for name, module in within("shopapp").items():
        wrong += [f"{name} imports {i}" for i in module.ours if i.startswith("core.")]
        for node in ast.walk(module.tree):
            if isinstance(node, ast.ImportFrom) and node.module == "core":
                wrong += [f"{name}: {a.name}" for a in node.names if a.name not in names]
            if (
                isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Name)
                and node.value.id == "core"
            ):
                wrong += [f"{name}: core.{node.attr}"] if node.attr not in names else []
    assert wrong == []


def test_screens_and_widgets_get_view_states_and_no_core():
    """What they show was decided by a presenter; of the presenters they know the view states alone."""
    seen = {i for m in within("shopapp.screens", "shopapp.widgets").values() for i in m.ours}
    assert {i for i in seen if i.startswith(("core", "shopapp.presenters"))} == {
        "shopapp.presenters.pieces",
        "shopapp.presenters.views",
    }


def test_what_is_imported_is_declared():
    """An installed wheel gets what pyproject.toml names and no more."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.match(r"[A-Za-z0-9_.-]+", d)[0].lower() for d in project["dependencies"]}
    used = {(top, name) for name, module in MODULES.items() for top in module.others if top not in declared}
    assert used == {(top, home) for top, (_, homes) in EXTRAS.items() for home in homes}
    optional = {name for extra in ("drawings", "records") for name in project["optional-dependencies"][extra]}
    assert {re.match(r"[A-Za-z0-9_.-]+", d)[0] for d in optional} == {name for name, _ in EXTRAS.values()}
    assert declared == {"kivy", "numpy", "pint", "tinydb"}


def test_what_only_drawings_need_is_imported_when_one_is_made():
    for package, (_, homes) in EXTRAS.items():
        assert {n for n, m in MODULES.items() if package in m.others} == homes
        at_once = {n for home in homes for node in MODULES[home].tree.body for n in _imported(node, {})}
        assert package not in {_top(name) for name in at_once}


def test_pint_and_tinydb_each_have_one_home():
    assert {n for n, m in MODULES.items() if "pint" in m.others} == {"core.dimensions"}
    assert all(n.startswith("core.store") for n, m in MODULES.items() if "tinydb" in m.others)


def test_no_star_imports_and_no_modules_of_odds_and_ends():
    stars = [
        n
        for n, m in MODULES.items()
        for node in ast.walk(m.tree)
        if isinstance(node, ast.ImportFrom) and any(a.name == "*" for a in node.names)
    ]
    assert stars == []
    assert [n for n in MODULES if n.split(".")[-1] in ("utils", "util", "helpers", "common", "misc")] == []


def _top(name: str) -> str:
    return name.split(".")[0]


# The walk itself: each rule has to be able to fail.

SMALL = [["app"], ["core.plan", "core.store"], ["core.errors"]]


@pytest.mark.parametrize(
    ("name", "source", "wrong"),
    [
        ("core.errors", "def f():\n    import core.plan.aim", ["core.errors imports core.plan.aim"]),
        ("core.plan", "from core import store", ["core.plan imports core.store"]),
        ("core.plan", "from core.errors import InputError", []),
        ("core.plan.aim", "import core", ["core.plan.aim imports the face"]),
    ],
)
def test_the_walk_sees_an_arrow_that_goes_the_wrong_way(name, source, wrong):
    known = dict.fromkeys(("core", "core.plan", "core.plan.aim", "core.store", "core.errors"))
    module = read_module(name, source, known)
    table = [["core"], *SMALL]
    assert against_the_layers({name: module}, table) == wrong


def test_the_walk_sees_lazy_imports_and_those_for_type_checkers():
    source = "import a\nif TYPE_CHECKING:\n    import b\ndef f():\n    from c import d\n"
    module = read_module("core.x", source, {})
    assert module.imports == {"a", "b", "c"}
    assert module.typed_only == {"b"}


def test_the_walk_sees_an_import_of_what_is_not_there():
    core_x = read_module("core.x", "a, b = 1, 2\nif a:\n    c = 3\ndef f():\n    inner = 4\n", {})
    user = read_module("core.y", "from core.x import a, b, c, f, inner, gone", {"core.x": None})
    assert missing(user, {"core.x": core_x}) == ["core.y: core.x.inner", "core.y: core.x.gone"]


@pytest.mark.parametrize("source", ["open('x')", "np.load('x')", "Path('x').read_text()", "eval('1')"])
def test_the_walk_sees_files_being_touched(source):
    assert set(called(ast.parse(source))) & FILE_CALLS


@pytest.mark.parametrize("source", ["kind == 'section'", "job.kind in allowed", "self.job.kind != other"])
def test_the_walk_sees_a_kind_being_asked_for(source):
    assert names_a_kind(ast.parse(source).body[0].value)
