"""One change of a file at a time, by the operators of cosmic-ray.

Left out are changes that are none: in annotations, which are never evaluated, in imports for the
type checker, in what is said of a dataclass (frozen, slotted), in whether an argument must be named
and in `zip(strict=True)`: these only guard against us; and the number by which `reshape` asks for
the rest, which may be any below zero.

Others are as good as never a difference (`KINDS`). They are made and judged all the same, and the
score is told with and without them.
"""

from __future__ import annotations

import ast
import difflib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

try:
    from cosmic_ray.ast import ast_nodes, get_ast
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator
except ImportError:
    raise SystemExit(
        "this needs cosmic-ray and coverage: pip install cosmic-ray coverage"
    ) from None

#: Changes a person could make by mistake; others of the tool (`a << b`) crash at once.
OPERATORS = (
    *("AddNot", "NumberReplacer", "ReplaceAndWithOr", "ReplaceOrWithAnd", "ZeroIterationForLoop"),
    *("ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceBreakWithContinue"),
    *("ReplaceContinueWithBreak", "ReplaceUnaryOperator_Delete_Not"),
    *("ReplaceUnaryOperator_Delete_USub", "ExceptionReplacer"),
    *(f"ReplaceBinaryOperator_{p}" for p in ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul")),
    *(f"ReplaceBinaryOperator_{p}" for p in ("FloorDiv_Mul", "Mod_Add", "Pow_Mul")),
    *(f"ReplaceComparisonOperator_{p}" for p in ("Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt")),
    *(f"ReplaceComparisonOperator_{p}" for p in ("Lt_GtE", "Gt_LtE", "Eq_NotEq", "NotEq_Eq")),
    *(f"ReplaceComparisonOperator_{p}" for p in ("Is_IsNot", "IsNot_Is")),
)


#: Kinds of changes that no test can be asked to notice, and why.
KINDS = {
    "hair": "whether a limit given as a float is inside: nothing measured meets it exactly",
    "effort": "steps, places looked at, how coarse a search is: the result is the same either way",
}
#: Constants that decide on effort alone, by file; that results do not hang on them is said beside
#: each.
EFFORT = {
    "curves/_parallel.py": {"_DEEPEST"},
    "curves/length.py": {"_DEEPEST"},
    "curves/meet.py": {"_SEARCH_MM", "_STEPS", "_HALVINGS"},
    "draft/block/level_hem.py": {"_STEPS"},
    "draft/block/solve.py": {"_MOST_STEPS", "_LEARNING_STEPS"},
    "draft/checks/curvature.py": {"_PLACES"},
    "draft/checks/hem.py": {"_STEP_MM"},
    "draft/checks/outlines.py": {"_SAMPLES"},
    "draft/checks/pocket.py": {"_EVERY"},
    "cli/paper/joints.py": {"_FIRST_SPOTS"},
}
_HAIR = re.compile(r"ReplaceComparisonOperator_(Lt_LtE|LtE_Lt|Gt_GtE|GtE_Gt)")


class Place(NamedTuple):
    """Where an operator could change a file: the how-manieth of its places there, and its line."""

    file: Path
    operator: str
    number: int
    line: int


class Mutant(NamedTuple):
    """One change: its place, the lines of the statement it stands in, the text that results."""

    place: Place
    lines: tuple[int, int]
    text: str
    kind: str = ""

    def shown(self, root: Path) -> str:
        """Return where it is, and the lines before and after."""
        file = self.place.file
        texts = (t.splitlines() for t in (file.read_text(), self.text))
        changed = [x for x in difflib.unified_diff(*texts, n=0) if x[0] in "+-"][2:]
        kind = f", {self.kind}" if self.kind else ""
        where = f"{file.relative_to(root)}:{self.place.line} [{self.place.operator}{kind}]"
        return "\n".join([where, *(f"    {x[0]} {x[1:].strip()}" for x in changed)])


def places_of(file: Path) -> Iterator[Place]:
    """Yield every place of a file that an operator could change."""
    nodes = list(ast_nodes(get_ast(file.read_text())))
    for name in OPERATORS:
        operator = get_operator(f"core/{name}")()
        spans = [p for n in nodes for p in operator.mutation_positions(n)]
        for i, span in enumerate(spans):
            yield Place(file, name, i, span[0][0])


def mutant_at(place: Place) -> Mutant | None:
    """Return the change at a place; None where nothing that is evaluated changes."""
    text = place.file.read_text()
    changed = mutate_code(text, get_operator(f"core/{place.operator}")(), place.number)
    if changed is None or _evaluated(changed) in ("", _evaluated(text)):
        return None
    return Mutant(place, _statement(text, place.line), changed, _kind(place, ast.parse(text)))


def _kind(place: Place, tree: ast.Module) -> str:
    """Return of which of `KINDS` a change is, nothing for all others."""
    assigned = {
        target.id: node.value
        for node in tree.body
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value
        for target in ast.walk(node.targets[0] if isinstance(node, ast.Assign) else node.target)
        if isinstance(target, ast.Name)
    }
    effort = next((n for file, n in EFFORT.items() if place.file.match(file)), set[str]())
    if any(assigned[n].lineno == place.line for n in effort):
        return "effort"
    if not _HAIR.fullmatch(place.operator):
        return ""
    compared = [n for n in ast.walk(tree) if isinstance(n, ast.Compare) and n.lineno == place.line]
    return "hair" if any(_is_float(n, assigned) for one in compared for n in ast.walk(one)) else ""


def _is_float(node: ast.AST, assigned: dict[str, ast.expr]) -> bool:
    """Return whether it is a float, or a constant that is one; 0 and 1 are met exactly."""
    if isinstance(node, ast.Name) and node.id.isupper():
        value = assigned.get(node.id)
        return node.id.endswith("_MM") or (value is not None and _is_float(value, assigned))
    is_float = isinstance(node, ast.Constant) and isinstance(node.value, float)
    return is_float and node.value not in (0.0, 1.0)


_REST = ast.Constant("the rest")


def _evaluated(text: str) -> str:
    """Return the module's tree without what is never evaluated; nothing if it is no Python."""
    try:
        tree = ast.parse(text)
    except SyntaxError:  # the tool sets `not` before an assignment, which takes brackets
        return ""
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            node.decorator_list = []
        for name in ("annotation", "returns"):
            if getattr(node, name, None) is not None:
                setattr(node, name, ast.Constant(None))
        if isinstance(node, ast.Call):
            node.keywords = [k for k in node.keywords if k.arg != "strict"]
            if isinstance(node.func, ast.Attribute) and node.func.attr == "reshape":
                node.args = [_REST if isinstance(a, ast.UnaryOp) else a for a in node.args]
        if isinstance(node, ast.arguments):
            node.args = [*node.posonlyargs, *node.args, *node.kwonlyargs]
            node.defaults += [d for d in node.kw_defaults if d is not None]
            node.posonlyargs, node.kwonlyargs, node.kw_defaults = [], [], []
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            node.test, node.body = ast.Constant(False), []
    return ast.dump(tree)


def _statement(text: str, line: int) -> tuple[int, int]:
    """Return first and last line of the innermost statement around a line."""
    first = last = line
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.stmt) and node.lineno <= line <= (node.end_lineno or 0):
            first = node.lineno  # deeper statements are walked later
            last = line if hasattr(node, "body") else (node.end_lineno or line)
    return first, last
