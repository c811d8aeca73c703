"""One style drafted over a row of bodies: what a nest, a table of sizes or a file each is made of.

A size that cannot be drafted keeps its label with the reason; it does not stop the others.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.text import clean_text
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec

#: More sizes than any table of sizes has; a longer one is some other file.
MOST_SIZES: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size: its label and the body that it is drafted for."""

    label: str
    body: Body


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped:
    """A size without a pattern, and a sentence that says why."""

    label: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRun:
    """Sizes that were drafted, smallest hip first as a rule: `labels` and `patterns` go together.

    Labels are unique. `title` names the style, `source` where the bodies come from; `skipped` are
    the sizes that could not be drafted or fail their checks.
    """

    title: str
    source: str
    labels: tuple[str, ...]
    patterns: tuple[Pattern, ...]
    skipped: tuple[Skipped, ...] = ()

    def __post_init__(self) -> None:
        if len(self.labels) != len(self.patterns) or len(set(self.labels)) < len(self.labels):
            raise ValueError("every pattern of a run of sizes has a label of its own")


def draft_sizes(spec: Spec, sizes: Iterable[Size], *, source: str = "") -> SizeRun:
    """Draft fabric and style of `spec` for every size, in their order.

    The spec's own body and its alterations do not matter: what a trial showed belongs to the body
    that tried it on. Every pattern's title tells its size. Raises InputError for labels that are
    empty or not unique, and for more than MOST_SIZES sizes.
    """
    wanted = [replace(size, label=clean_text(size.label)) for size in sizes]
    _check_labels([size.label for size in wanted])
    labels: list[str] = []
    patterns: list[Pattern] = []
    skipped: list[Skipped] = []
    for size in wanted:
        title = f"{spec.title or 'Pants'}, size {size.label}"
        try:
            pattern = draft_pattern(replace(spec, title=title, body=size.body, alter=()))
        except OutseamError as e:
            skipped.append(Skipped(label=size.label, reason=str(e)))
            continue
        if pattern.errors:
            failed = "; ".join(dict.fromkeys(f"{f.check}, {f.where}" for f in pattern.errors))
            reason = f"the draft does not pass its checks ({failed})"
            skipped.append(Skipped(label=size.label, reason=reason))
            continue
        labels.append(size.label)
        patterns.append(pattern)
    return SizeRun(
        title=spec.title or "Pants",
        source=source,
        labels=tuple(labels),
        patterns=tuple(patterns),
        skipped=tuple(skipped),
    )


def _check_labels(labels: list[str]) -> None:
    if not 1 <= len(labels) <= MOST_SIZES:
        raise InputError("sizes", f"{len(labels)} sizes", f"1 to {MOST_SIZES} sizes")
    seen: set[str] = set()
    for number, label in enumerate(labels, start=1):
        if not label:
            raise InputError("sizes", f"size {number} has no label", "a label for each size")
        if label.casefold() in seen:
            raise InputError("sizes", f'"{label}" is there twice', "each label once")
        seen.add(label.casefold())
