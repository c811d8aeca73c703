"""The house keeps its shape: which package may import which, who knows units, who writes."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
#: Each package and those of the product it may import besides itself.
MAY_IMPORT = {"curves": (), "draft": ("curves",), "cli": ("draft", "curves")}
FILES = tuple(sorted(p for package in MAY_IMPORT for p in (ROOT / package).rglob("*.py")))


def module_of(file: Path) -> str:
    parts = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {module_of(file): file for file in FILES}


@cache
def tree_of(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def statements(tree: ast.AST, *, at_import: bool) -> Iterator[ast.AST]:
    """All nodes; `at_import`: only those that run, and are not just for a type checker, when the
    module is imported."""
    for node in ast.iter_child_nodes(tree):
        if at_import:
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
                continue
        yield node
        yield from statements(node, at_import=at_import)


def imports(file: Path, *, at_import: bool = False) -> Iterator[str]:
    """Dotted names of what a file imports, a submodule taken from its package included."""
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
    assert {"curves.path", "draft.pattern", "draft.block.solve", "cli.main"} <= MODULES.keys()
    solve = MODULES["draft.block.solve"]
    assert "scipy.optimize" in set(imports(solve))
    assert "scipy.optimize" not in set(imports(solve, at_import=True))
    assert "draft.block.shape" in set(imports(solve, at_import=True))


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
    ours = {*MAY_IMPORT, "tests", "gallery"}
    for name, file in MODULES.items():
        if name.split(".")[0] == package:
            backward = {i for i in imports(file) if i.split(".")[0] in ours - allowed}
            assert not backward, f"{name} imports {sorted(backward)}"


def test_only_one_module_knows_the_unit_library() -> None:
    users = {
        name
        for name, file in MODULES.items()
        if any(i.split(".")[0] == "pint" for i in imports(file))
    }
    assert users == {"draft.units"}


@pytest.mark.parametrize("package", ["curves", "draft"])
def test_the_kernel_writes_and_prints_nothing(package: str) -> None:
    for name, file in MODULES.items():
        if name.split(".")[0] == package:
            lines = [n.lineno for n in statements(tree_of(file), at_import=False) if writes(n)]  # type: ignore[attr-defined]
            assert not lines, f"{name} writes in lines {lines}"


def test_the_kernel_draws_nothing() -> None:
    """Libraries that make files belong to the command line."""
    drawing = {"svgwrite", "cairosvg", "cairocffi", "pikepdf", "click", "rich", "jinja2", "logging"}
    for name, file in MODULES.items():
        if name.split(".")[0] != "cli":
            used = {i.split(".")[0] for i in imports(file)} & drawing
            assert not used, f"{name} imports {sorted(used)}"


def test_every_file_says_what_it_holds() -> None:
    """All but files without a line, which only make a folder a package."""
    files = (*FILES, *sorted((ROOT / "tests").rglob("*.py")))
    silent = [f.name for f in files if tree_of(f).body and not ast.get_docstring(tree_of(f))]
    assert not silent


def test_no_module_of_the_kernel_imports_in_a_circle() -> None:
    """Depth-first search over imports at module level; a grey module met again closes a circle.

    A package's own `__init__` is run before any of its modules, so importing a module also
    imports the packages above it; those arrows are left out, since a package may gather its own.
    """
    arrows = {
        name: {i for i in imports(file, at_import=True) if i in MODULES and i != name}
        for name, file in MODULES.items()
    }
    state: dict[str, int] = {}

    def visit(name: str, path: tuple[str, ...]) -> None:
        state[name] = 1
        for other in sorted(arrows[name]):
            assert state.get(other) != 1, " -> ".join((*path, name, other))
            if other not in state:
                visit(other, (*path, name))
        state[name] = 2

    for name in sorted(arrows):
        if name not in state:
            visit(name, ())
    assert state.keys() == MODULES.keys()


def test_every_library_in_use_is_declared() -> None:
    """Among the requirements, or those of an extra other than the developers'."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    wanted = [*project["dependencies"], *(d for k, v in extras.items() if k != "dev" for d in v)]
    declared = {re.split(r"[\[<>=!~; ]", d)[0].lower() for d in wanted}
    for name, file in MODULES.items():
        used = {i.split(".")[0] for i in imports(file)} - sys.stdlib_module_names - set(MAY_IMPORT)
        assert used <= declared, f"{name} imports {sorted(used - declared)}"
