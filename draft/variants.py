"""Variants of a pattern to choose from: one spec with keys of its style varied, or several specs.

A variant that cannot be drafted, or fails its checks, keeps its place with the reason.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any, Final

from outseam.draft.body.estimate import Measures, complete
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.show import Units
from outseam.draft.inputs.tables import Field, read_typed, table_of, unknown_key
from outseam.draft.inputs.text import clip
from outseam.draft.inputs.value_kinds import ChoiceOrLength, Text
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures, draft_pattern
from outseam.draft.spec.spec import Spec, spec_tables
from outseam.draft.style import Style

#: As many lines as can be told apart on paper without colour.
MOST_VARIANTS: Final = 12
#: Two keys make a grid; a third would need a third direction.
MOST_KEYS: Final = 2

#: Lengths that differ by less were written differently, not meant differently.
_SAME_MM: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Vary:
    """A key of the style and the values to try, typed as the spec would hold them."""

    field: Field
    values: tuple[object, ...]

    @property
    def words(self) -> str:
        """The key in words: `hem width`."""
        return self.field.key.replace("_", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecChange:
    """A key whose value differs between two specs, `style.rise`, and both values in words.

    `named`: it only names something, so that nothing of the draft follows from it.
    """

    key: str
    before: str
    after: str
    named: bool = False

    def __str__(self) -> str:
        return f"{self.key}: {self.before} → {self.after}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One variant: its number from 1, its label, and its pattern or the reason why there is none.

    `changes` are against the first spec that could be read; `as_written` tells that the spec is
    the one in the file, `labelled_so` that the label says that already. A pattern
    that fails its checks is not kept.
    """

    number: int
    label: str
    spec: Spec | None = None
    pattern: Pattern | None = None
    refused: str = ""
    changes: tuple[SpecChange, ...] = ()
    as_written: bool = False
    labelled_so: bool = False

    @property
    def telling(self) -> tuple[SpecChange, ...]:
        """The changes that the draft follows from; names only where nothing else differs."""
        return tuple(c for c in self.changes if not c.named) or self.changes


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Variants to be told apart.

    `columns` is how many stand in a row where two keys make a grid, the second key running down;
    0 where they only make a list. `units` are those of everything shown. `varied`: the labels say
    all that differs; if not, the variants' `changes` do.
    """

    title: str
    units: Units
    variants: tuple[Variant, ...]
    columns: int = 0
    varied: bool = False

    @property
    def drafted(self) -> tuple[Variant, ...]:
        """The variants that have a pattern."""
        return tuple(v for v in self.variants if v.pattern is not None)

    @property
    def refused(self) -> tuple[Variant, ...]:
        """The variants that have none."""
        return tuple(v for v in self.variants if v.pattern is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A labelled spec, or the reason why it could not be read.

    `labelled_so`: the label says that it is as in the file.
    """

    label: str
    spec: Spec | None = None
    refused: str = ""
    labelled_so: bool = False


def parse_vary(text: str, units: Units) -> Vary:
    """Return what `rise=high,mid,-3 cm` asks for; bare numbers are in `units`.

    Values are separated by commas, or by semicolons where a number has a decimal comma. They are
    read by the key's own kind, as in the spec file; "default" leaves the key out, and words of a
    list are joined by +. Raises InputError.
    """
    key, equals, listed = text.partition("=")
    key = key.strip().removeprefix("style.")
    if not equals or not key:
        raise InputError(
            "--vary", f'"{clip(text)}"', "a key of [style] and its values, such as rise=high,mid"
        )
    field = _field_of(key)
    where = f"--vary {key}"
    texts = [x.strip() for x in listed.split(";" if ";" in listed else ",")]
    if not all(texts):
        raise InputError(
            where, f'"{clip(listed)}" has an empty value', "values separated by commas"
        )
    values = tuple(read_typed(field, x, where, units) for x in texts)
    for i, value in enumerate(values):
        for j in range(i):
            if _same(values[j], value):
                raise InputError(
                    where, f'"{clip(texts[j])}" and "{clip(texts[i])}" are the same', "", "drop one"
                )
    return Vary(field=field, values=values)


def _field_of(key: str) -> Field:
    for field in table_of(Style):
        if field.key == key:
            return field
    for table, cls in spec_tables().items():
        if table != "style" and key in (f.key for f in table_of(cls)):
            raise InputError(
                f"--vary {key}",
                f"it belongs to [{table}], and only keys of [style] are varied",
                hint="write a file for each and compare the files",
            )
    raise unknown_key(key, "style", Style, {})


def _same(a: object, b: object) -> bool:
    if isinstance(a, int | float) and isinstance(b, int | float):
        return math.isclose(a, b, rel_tol=0.0, abs_tol=_SAME_MM)
    return a == b


def value_words(field: Field, value: object, units: Units) -> str:
    """Return a value for a label: without quotes, lengths with their unit."""
    if value is None:
        return field.kind.default_says or "not given"
    if isinstance(value, tuple):
        return " + ".join(map(str, value))
    shown = field.kind.shows(value, units)
    if isinstance(field.kind, ChoiceOrLength) and isinstance(value, float):
        shown = shown[1:-1] if shown.startswith('"') else f"{shown} {units}"
        # Where a length may lie below zero its sign is part of what is said.
        shown = f"+{shown}" if field.kind.low < 0.0 < value else shown
    return shown.strip('"')


def changes_between(before: Spec, after: Spec, units: Units) -> tuple[SpecChange, ...]:
    """Return every key whose value differs, in the order of the file."""
    found = [
        _change(field, "", before, after, units)
        for field in table_of(Spec)
        if field.key not in spec_tables()
    ]
    for table, cls in spec_tables().items():
        a, b = getattr(before, table), getattr(after, table)
        found += [_change(field, f"{table}.", a, b, units) for field in table_of(cls)]
    return tuple(change for change in found if change is not None)


def _change(field: Field, prefix: str, a: Any, b: Any, units: Units) -> SpecChange | None:
    before, after = getattr(a, field.key), getattr(b, field.key)
    if _same(before, after):
        return None
    return SpecChange(
        key=prefix + field.key,
        before=value_words(field, before, units) or "not given",
        after=value_words(field, after, units) or "not given",
        named=isinstance(field.kind, Text),
    )


def vary_spec(spec: Spec, varied: Sequence[Vary], *, beside_own: bool = False) -> Comparison:
    """Draft a spec with every combination of the values.

    Of two keys the one with more values runs across. A single value is compared with the file
    itself; `beside_own` puts the file first, too, where a list of several does not have it. Raises
    InputError for more keys or variants than can be shown, for a key given twice, and where the
    body cannot be completed.
    """
    if len(varied) > MOST_KEYS:
        raise InputError(
            "--vary", f"given {len(varied)} times", "once or twice", "compare two things at a time"
        )
    if len({v.field.key for v in varied}) < len(varied):
        key = varied[0].field.key
        raise InputError("--vary", f"{key} is given twice", hint="put all its values in one list")
    count = math.prod(len(v.values) for v in varied)
    if count > MOST_VARIANTS:
        times = " × ".join(str(len(v.values)) for v in varied)
        told = f"{times} = {count} variants" if len(varied) > 1 else f"{count} variants"
        raise InputError("--vary", told, f"at most {MOST_VARIANTS}", "leave some out")
    varied = sorted(varied, key=lambda v: -len(v.values))
    styles: list[dict[str, Any]] = [
        {v.field.key: x for v, x in zip(reversed(varied), values, strict=True)}
        for values in product(*(v.values for v in reversed(varied)))
    ]
    candidates = [
        Candidate(
            label=", ".join(
                f"{v.words} {value_words(v.field, style[v.field.key], spec.units)}" for v in varied
            ),
            spec=replace(spec, style=replace(spec.style, **style)),
        )
        for style in styles
    ]
    own = any(c.spec == spec for c in candidates)
    if own and len(candidates) == 1:
        raise InputError(
            "--vary",
            f"{candidates[0].label} is what the file has already",
            "two values or more, or another one",
        )
    grid = all(len(v.values) > 1 for v in varied) and len(varied) > 1
    if not own and (len(candidates) == 1 or (beside_own and not grid and count < MOST_VARIANTS)):
        candidates.insert(0, Candidate(label="as in the file", spec=spec, labelled_so=True))
    return _compared(
        candidates,
        title=spec.title,
        columns=len(varied[0].values) if grid else 0,
        base=spec,
        measures=complete(spec.body, spec.units),
    )


def compare_specs(candidates: Sequence[Candidate], title: str = "") -> Comparison:
    """Draft specs of their own, each against the first that could be read.

    Raises InputError for fewer than two or more than can be shown.
    """
    if not 2 <= len(candidates) <= MOST_VARIANTS:
        count = len(candidates)
        raise InputError(
            "compare", f"{count} file{'s' * (count != 1)}", f"2 to {MOST_VARIANTS} files"
        )
    return _compared(candidates, title=title)


def _compared(
    candidates: Iterable[Candidate],
    *,
    title: str,
    columns: int = 0,
    base: Spec | None = None,
    measures: Measures | None = None,
) -> Comparison:
    """Draft all; `base` is the spec in the file, `measures` its body if all variants share it."""
    found: list[Variant] = []
    first: Spec | None = None
    for number, one in enumerate(candidates, start=1):
        if one.spec is None:
            found.append(Variant(number=number, label=one.label, refused=one.refused))
            continue
        first = first or one.spec
        pattern, refused = _drafted(one.spec, measures)
        found.append(
            Variant(
                number=number,
                label=one.label,
                spec=one.spec,
                pattern=pattern,
                refused=refused,
                changes=changes_between(first, one.spec, first.units),
                as_written=one.spec == base,
                labelled_so=one.labelled_so,
            )
        )
    return Comparison(
        title=title,
        units=first.units if first else "cm",
        variants=tuple(found),
        columns=columns,
        varied=base is not None,
    )


def _drafted(spec: Spec, measures: Measures | None) -> tuple[Pattern | None, str]:
    """Return the pattern, or None and why not."""
    try:
        pattern = draft_pattern(spec) if measures is None else draft_measures(spec, measures)
    except OutseamError as e:
        return None, str(e)
    except Exception as e:  # one variant that breaks the program must not take the others with it
        return None, f"the program failed on this one ({type(e).__name__}: {e}); please report it"
    if pattern.errors:
        failed = "; ".join(dict.fromkeys(f"{f.check}, {f.where}" for f in pattern.errors))
        return None, f"the draft does not pass its checks ({failed})"
    return pattern, ""
