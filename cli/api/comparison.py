"""Drafts compared: variants of a style, or several specs."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from pathlib import Path

from outseam.draft.answer import Answer
from outseam.draft.spec.spec import Spec
from outseam.draft.variants import Candidate, Comparison, parse_vary, vary_spec
from outseam.draft.variants import compare_specs as compare_candidates
from outseam.drafted import Draft


def vary_style(spec: Spec, /, **values: Iterable[object]) -> DraftComparison:
    """Return variants of one spec: for one or two keys of the style the values to try.

    Bare numbers are in the spec's units; two keys make a grid. Raises InputError for a key or a
    value that the style does not have.
    """
    asked = [f"{key}={';'.join(map(str, tried))}" for key, tried in values.items()]
    return DraftComparison(vary_spec(spec, [parse_vary(text, spec.units) for text in asked]))


def compare_specs(
    specs: Mapping[str, Spec], *, title: str = "Patterns compared"
) -> DraftComparison:
    """Return several specs compared, by their labels. Raises InputError for more than twelve."""
    candidates = [Candidate(label=label, spec=spec) for label, spec in specs.items()]
    return DraftComparison(compare_candidates(candidates, title=title))


class DraftComparison:
    """Variants side by side. One that cannot be drafted keeps its place in `refused`."""

    def __init__(self, comparison: Comparison) -> None:
        self.comparison = comparison

    @property
    def drafts(self) -> Mapping[str, Draft]:
        """The variants that could be drafted, by label."""
        return {
            v.label: Draft(Answer(spec=v.spec))
            for v in self.comparison.drafted
            if v.spec is not None
        }

    @property
    def refused(self) -> Mapping[str, str]:
        """Why the others could not, by label."""
        return {v.label: v.refused for v in self.comparison.refused}

    def files(self) -> dict[str, bytes]:
        """Return the files of `outseam compare` by name."""
        from outseam.cli.compare.fabric import fabric_of
        from outseam.cli.compare.files import compare_files

        return compare_files(self.comparison, None, fabric_of(self.comparison))

    def save(self, folder: str | os.PathLike[str]) -> tuple[Path, ...]:
        """Write the files of `outseam compare` into a folder, all or none; return their paths."""
        from outseam.cli.write.save import save_all

        return save_all(folder, self.files())

    def _repr_html_(self) -> str:
        from outseam.cli.compare.files import STEM

        page = self.files()[f"{STEM}.html"].decode()
        return page[page.index("<body>") + len("<body>") : page.index("</body>")]
