"""The house keeps its shape: which package may import which, who knows units, who writes."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
#: Each package and those of the product it may import besides itself. `cli/api` is what
#: `import outseam` shows; no room below it may look up to it.
MAY_IMPORT = {"curves": (), "draft": ("curves",), "cli": ("draft", "curves")}
FILES = tuple(sorted(p for package in MAY_IMPORT for p in (ROOT / package).rglob("*.py")))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def module_of(file: Path) -> str:
    parts = file.relative_to(ROOT).with_suffix("").parts
    parts = parts[:-1] if parts[-1] == "__init__" else parts
    return ".".join(("outseam", *(parts[2:] if parts[:2] == ("cli", "api") else parts)))


def package_of(module: str) -> str:
    """`draft` for `outseam.draft.pattern`, `api` for the facade."""
    head = module.split(".")[1:2]
    return head[0] if head and head[0] in MAY_IMPORT else "api"


MODULES = {module_of(file): file for file in FILES}


def room_of(module: str) -> str:
    """The folder that a module lies in; a loose file of a package is a room of its own."""
    file = MODULES[module]
    loose = file.parent in [ROOT / p for p in MAY_IMPORT] and file.name != "__init__.py"
    return module if loose or file.name == "__init__.py" else module.rpartition(".")[0]


@cache
def tree_of(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def statements(tree: ast.AST, *, at_import: bool) -> Iterator[ast.AST]:
    """All nodes; `at_import`: only those that run, and are not just for a type checker, when the
    module is imported."""
    waiting = list(ast.iter_child_nodes(tree))
    while waiting:
        node = waiting.pop()
        if at_import:
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
                continue
        yield node
        waiting.extend(ast.iter_child_nodes(node))


@cache
def imports(file: Path, *, at_import: bool = False) -> tuple[str, ...]:
    """Dotted names of what a file imports, a submodule taken from its package included."""
    return tuple(_imports(file, at_import=at_import))


def _imports(file: Path, *, at_import: bool) -> Iterator[str]:
    for node in statements(tree_of(file), at_import=at_import):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: a relative import hides which package is meant"
            assert node.module is not None
            yield node.module
            for alias in node.names:
                if f"{node.module}.{alias.name}" in MODULES:
                    yield f"{node.module}.{alias.name}"


def called(node: ast.AST) -> str:
    """`open` or `.write_text` for a call, empty for anything else."""
    if not isinstance(node, ast.Call):
        return ""
    if isinstance(node.func, ast.Name):
        return node.func.id
    return f".{node.func.attr}" if isinstance(node.func, ast.Attribute) else ""


WRITERS = {
    *(".write_text", ".write_bytes", ".mkdir", ".unlink", ".rename", ".touch", ".rmdir", ".save"),
    *(".savefig", ".tofile", ".dump", ".makedirs", ".rmtree", ".copyfile", ".replace_file"),
}


def writes(node: ast.AST) -> bool:
    """Whether a node prints, writes a file, or opens one in a mode other than reading."""
    name = called(node)
    if name in ("print", "exec", "eval") or name in WRITERS:
        return True
    if name not in ("open", ".open"):
        return False
    assert isinstance(node, ast.Call)
    values = (*node.args, *(k.value for k in node.keywords if k.arg == "mode"))
    texts = {v.value for v in values if isinstance(v, ast.Constant) and isinstance(v.value, str)}
    # The first text may be a file name; only what looks like a mode counts.
    return any(set(t) <= set("rwxabt+U") and set(t) & set("wxa+") for t in texts)


def test_the_walk_sees_what_it_should() -> None:
    """The rules below would pass on an empty list, or on one that misses local imports."""
    solve, main = "outseam.draft.block.solve", "outseam.cli.main"
    assert {"outseam", "outseam.curves.path", "outseam.draft.pattern", solve, main} <= set(MODULES)
    refuse = MODULES["outseam.draft.block.refuse"]
    assert "scipy.optimize" in set(imports(refuse))
    assert "scipy.optimize" not in set(imports(refuse, at_import=True))
    assert "outseam.draft.block.shape" in set(imports(MODULES[solve], at_import=True))
    # A local import is an arrow like any other.
    assert "outseam.cli.commands.draft" in arrows()[main]


@pytest.mark.parametrize(
    ("line", "bad"),
    [
        ("print('x')", True),
        ("open('a.txt', 'w')", True),
        ("open('a.txt', mode='ab')", True),
        ("path.open('x')", True),
        ("path.write_text('x')", True),
        ("open('a.txt')", False),
        ("path.open('rb')", False),
        ("kind.write(value)", False),
    ],
)
def test_writing_is_recognised(line: str, bad: bool) -> None:
    assert writes(ast.parse(line).body[0].value) is bad  # type: ignore[attr-defined]


@pytest.mark.parametrize("package", MAY_IMPORT)
def test_imports_run_one_way(package: str) -> None:
    allowed = {package, *MAY_IMPORT[package]}
    for name, file in MODULES.items():
        if package_of(name) == package:
            ours = [i for i in imports(file) if i.split(".")[0] == "outseam"]
            backward = {i for i in ours if package_of(i) not in allowed}
            assert not backward, f"{name} imports {sorted(backward)}"


def test_the_product_is_imported_by_its_one_name() -> None:
    """A bare `import draft` would work in a checkout only, and load modules twice."""
    for file in (*FILES, *(ROOT / "tests").rglob("*.py"), *(ROOT / "gallery").rglob("*.py")):
        bare = {i for i in imports(file) if i.split(".")[0] in (*MAY_IMPORT, "gallery")}
        assert not bare, f"{file} imports {sorted(bare)}"
    assert not any(i.startswith("outseam.cli.api") for f in FILES for i in imports(f))


def test_the_wheel_holds_every_package() -> None:
    """Packages are listed by hand, since their folders lie elsewhere: none may be forgotten."""
    found = {module_of(f) for f in FILES if f.name == "__init__.py"}
    folders = {f.parent for f in FILES}
    assert {f.parent for f in FILES if f.name == "__init__.py"} == folders
    assert sorted(PROJECT["tool"]["setuptools"]["packages"]) == sorted(found)
    assert (ROOT / "cli" / "api" / "py.typed").is_file()


def test_only_one_module_knows_the_unit_library() -> None:
    users = {
        name
        for name, file in MODULES.items()
        if any(i.split(".")[0] == "pint" for i in imports(file))
    }
    assert users == {"outseam.draft.inputs.units"}


@pytest.mark.parametrize("package", ["curves", "draft"])
def test_the_kernel_writes_and_prints_nothing(package: str) -> None:
    for name, file in MODULES.items():
        if package_of(name) == package:
            lines = [n.lineno for n in statements(tree_of(file), at_import=False) if writes(n)]  # type: ignore[attr-defined]
            assert not lines, f"{name} writes in lines {lines}"


#: What is printed or told, and so may be reworded at any time.
WORDING = {"label", "says", "title", "advice", "hint", "cut_note", "why", "where", "said"}
#: Sizes are asked for by the label that a person gave them, which is their name; signs of a trial
#: by where on the pants they show, which is a key.
ASKED_BY_LABEL = {
    *("outseam.cli.nest.nest", "outseam.cli.page.signs", "outseam.cli.fitting.trial_files"),
}
LOOKED_INTO = {
    *("startswith", "endswith", "removeprefix", "removesuffix", "find", "index", "count", "split"),
    "partition",
}


def words_as_keys(tree: ast.AST) -> Iterator[int]:
    """Lines where something hangs on how a wording begins, ends or compares; emptiness may."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            sides = (node.left, *node.comparators)
            worded = any(isinstance(n, ast.Attribute) and n.attr in WORDING for n in sides)
            empty = any(isinstance(n, ast.Constant) and not n.value for n in sides)
            if worded and not empty:
                yield node.lineno
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            of = node.func.value
            if (
                node.func.attr in LOOKED_INTO
                and isinstance(of, ast.Attribute)
                and of.attr in WORDING
                # A title may be broken at its first blank, for want of room.
                and (
                    of.attr == "where"
                    or any(c.isalpha() for a in node.args for c in ast.unparse(a))
                )
            ):
                yield node.lineno


@pytest.mark.parametrize(
    ("line", "bad"),
    [
        ("x.label == 'hem fold'", True),
        ("'too narrow' in need.why", True),
        ("f.says.startswith('pocket')", True),
        ("f.where.partition(', ')", True),
        ("f.where == 'waistband'", True),
        ("mark.label == PLACE", True),
        ("x.role == 'hem fold'", False),
        ("x.label != ''", False),
        ("f.title.lower()", False),
    ],
)
def test_a_word_used_as_a_key_is_recognised(line: str, bad: bool) -> None:
    assert bool(list(words_as_keys(ast.parse(line)))) is bad


def test_words_are_never_keys() -> None:
    """What is printed may be reworded without anything else changing: roles tell things apart."""
    found = {
        f"{name}:{line}"
        for name, file in MODULES.items()
        if name not in ASKED_BY_LABEL
        for line in words_as_keys(tree_of(file))
    }
    assert not found


def test_a_sentence_with_lengths_is_a_template_in_the_code() -> None:
    """What a person typed goes into a place of it and is never read as a template."""
    for name, file in MODULES.items():
        for node in ast.walk(tree_of(file)):
            if called(node) == "words":
                assert isinstance(node, ast.Call)
                assert isinstance(node.args[0], ast.Constant), f"{name}:{node.lineno}"


def test_the_kernel_draws_nothing() -> None:
    """Libraries that make files belong to the command line."""
    drawing = {"PIL", "fontTools", "pikepdf", "click", "rich", "jinja2", "logging"}
    for name, file in MODULES.items():
        if package_of(name) in ("curves", "draft"):
            used = {i.split(".")[0] for i in imports(file)} & drawing
            assert not used, f"{name} imports {sorted(used)}"


def test_every_file_says_what_it_holds() -> None:
    """All but files without a line, which only make a folder a package."""
    files = (*FILES, *sorted((ROOT / "tests").rglob("*.py")))
    silent = [f.name for f in files if tree_of(f).body and not ast.get_docstring(tree_of(f))]
    assert not silent


@cache
def arrows() -> dict[str, frozenset[str]]:
    """Module -> modules of the product it imports, within functions too."""
    return {
        name: frozenset(i for i in imports(file) if i in MODULES and i != name)
        for name, file in MODULES.items()
    }


def circle(arrows: Mapping[str, Iterable[str]]) -> list[str]:
    """Return a circle of arrows, or nothing: depth first, a grey node met again closes one."""
    state: dict[str, int] = {}

    def visit(name: str, path: tuple[str, ...]) -> list[str]:
        state[name] = 1
        for other in sorted(arrows.get(name, ())):
            if state.get(other) == 1:
                return [*path, name, other]
            if other not in state and (found := visit(other, (*path, name))):
                return found
        state[name] = 2
        return []

    for name in sorted(arrows):
        if name not in state and (found := visit(name, ())):
            return found
    return []


def test_a_circle_is_seen() -> None:
    assert circle({"a": ["b"], "b": ["c"], "c": ["b"]}) == ["a", "b", "c", "b"]
    assert circle({"a": ["b", "c"], "b": ["c"]}) == []


def test_no_modules_import_in_a_circle() -> None:
    """A package's own `__init__` is run before any of its modules, so importing a module also
    imports the packages above it; those arrows are left out, since a package may gather its own."""
    assert not circle(arrows())


def test_no_rooms_import_in_a_circle() -> None:
    rooms: dict[str, set[str]] = {}
    for name, others in arrows().items():
        rooms.setdefault(room_of(name), set()).update(room_of(o) for o in others)
    assert not circle({room: others - {room} for room, others in rooms.items()})


def test_the_map_names_every_room() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    drawn = text[text.index("## The house") : text.index("## From the file")]
    named = set(re.findall(r"[\w/]*\w", drawn))
    rooms = [f.parent.relative_to(ROOT) for f in FILES if f.name == "__init__.py"]
    assert not [str(r) for r in rooms if not {r.name, "/".join(r.parts[1:])} & named]


def names_of(requirements: Iterable[str]) -> set[str]:
    return {re.split(r"[\[<>=!~; ]", r)[0].lower() for r in requirements}


def types_of(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Public classes and types that a module names, each with what it stands for."""
    for node in tree.body:
        if isinstance(node, ast.ClassDef):
            if not node.name.startswith("_"):
                yield node.name, ast.dump(node)
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and re.fullmatch(r"[A-Z]\w*[a-z]\w*", target.id):
                yield target.id, ast.dump(node.value)


def test_no_name_of_a_type_means_two_things() -> None:
    meanings: dict[str, set[str]] = {}
    for file in FILES:
        for name, meaning in types_of(tree_of(file)):
            meanings.setdefault(name, set()).add(meaning)
    assert len(meanings) > 200
    assert not {name for name, found in meanings.items() if len(found) > 1}


#: Lines of code of a function, its docstring, comments and blank lines aside.
MOST_LINES = 50


def code_lines(function: ast.AST, text: list[str]) -> int:
    assert isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
    first = function.body[0]
    told = ast.get_docstring(function, clean=False) is not None
    skipped = set(range(first.lineno, (first.end_lineno or 0) + 1)) if told else set()
    span = range(function.lineno, (function.end_lineno or 0) + 1)
    code = (text[n - 1].strip() for n in span if n not in skipped)
    return sum(bool(line) and not line.startswith("#") for line in code)


def test_functions_are_short() -> None:
    """How many ways run through one is held by ruff (C901)."""
    long = {
        f"{module_of(file)}.{node.name}"
        for file in FILES
        for node in ast.walk(tree_of(file))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and code_lines(node, file.read_text(encoding="utf-8").splitlines()) > MOST_LINES
    }
    assert not long


def test_every_library_in_use_is_declared_and_the_reverse() -> None:
    """Among the requirements, or those of an extra other than the developers'."""
    project = PROJECT["project"]
    extras = project["optional-dependencies"]
    declared = names_of(
        [*project["dependencies"], *(d for k, v in extras.items() if k != "dev" for d in v)]
    )
    used = {i.split(".")[0].lower() for f in FILES for i in imports(f)}
    used = {"pillow" if module == "pil" else module for module in used}
    used -= {*(m.lower() for m in sys.stdlib_module_names), "outseam"}
    assert used == declared
