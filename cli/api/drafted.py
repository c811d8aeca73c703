"""One spec, drafted: its figures, findings, pieces and files."""

from __future__ import annotations

import os
from collections.abc import Mapping
from html import escape
from pathlib import Path
from types import MappingProxyType
from typing import Any

from outseam.draft.answer import Answer
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Piece, Seam
from outseam.draft.spec.spec import Spec, load_spec


def draft_spec(spec: Spec | str | os.PathLike[str]) -> Draft:
    """Return the draft of a spec, or of a spec file and the lay kept beside it.

    Raises InputError for a file that cannot be read, parsed or used. The draft itself is made when
    something is asked of it; that may raise InputError or UnsolvableError.
    """
    if isinstance(spec, Spec):
        return Draft(Answer(spec=spec))
    from outseam.cli.cloth.saved_lay import read_kept

    path = Path(spec)
    return Draft(Answer(spec=load_spec(path), kept_lay=read_kept(path)))


class Draft:
    """The draft of one spec. Everything is computed once, when it is first asked for.

    A pattern that fails its checks can be looked at; `save` refuses it with ChecksFailedError.
    """

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __repr__(self) -> str:
        style = self.spec.style
        return f"<Draft {self.spec.title or 'Pants'}: {style.leg} leg, {style.fit} fit>"

    @property
    def spec(self) -> Spec:
        """The spec it follows from."""
        return self.answer.spec

    @property
    def pattern(self) -> Pattern:
        """All there is: measures, block, band, pieces, seams, findings."""
        return self.answer.drafted

    @property
    def figures(self) -> Mapping[str, float]:
        """Finished measurements, mm; girths of legs are of one leg."""
        from outseam.draft.figures.finished import finished

        return MappingProxyType(finished(self.pattern))

    @property
    def pieces(self) -> Mapping[str, Piece]:
        """Pieces by name: `front`, `back`, `front_band` and whatever the style adds."""
        return MappingProxyType({p.name: p for p in self.pattern.pieces})

    @property
    def seams(self) -> tuple[Seam, ...]:
        """Which stretches of which edges are sewn together."""
        return self.pattern.seams

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What every check found, passes included."""
        return self.pattern.findings

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to read before cutting, a sentence each, in the units of the spec."""
        from outseam.cli.wording.findings import finding_lines

        return tuple(finding_lines(self.pattern.warnings, self.spec.units))

    def girths_at(self, height_mm: float) -> tuple[float, float]:
        """Return the girths of body and pattern at a height above the floor, mm.

        Below the crotch line of one leg, above it round the hips. Raises ValueError for a height
        that is not between hip line and hem.
        """
        from outseam.draft.block.profile import girths_at

        return girths_at(self.pattern.block, self.pattern.measures, height_mm)

    def profile(self, step_mm: float = 20.0) -> list[list[float]]:
        """Return [height above the floor, body girth, pattern girth, strain] from hip to hem.

        Lengths in mm; strain is the worn girth over the pattern's, less one.
        """
        from outseam.draft.block.profile import profile_of

        return profile_of(self.pattern.block, self.pattern.measures, step_mm).rows()

    def summary(self) -> dict[str, Any]:
        """Return every figure as plain data, as `outseam check --json` prints it."""
        from outseam.cli.pattern.summary import summary

        return summary(self.pattern, self.answer.effects)

    def files(self) -> dict[str, bytes]:
        """Return the files of `outseam draft` by name. Raises ChecksFailedError."""
        from outseam.cli.paper.pattern_files import draft_files

        return draft_files(self.answer).files

    def save(self, folder: str | os.PathLike[str]) -> tuple[Path, ...]:
        """Write the files of `outseam draft` into a folder, all or none; return their paths.

        Raises ChecksFailedError for a pattern that must not be used, OutseamError where the folder
        cannot be written to.
        """
        from outseam.cli.write.save import save_all

        return save_all(folder, self.files())

    def svg(self) -> str:
        """Return the drawing, full scale in mm, as an SVG file's text."""
        from outseam.cli.pattern.drawing import pattern_scene
        from outseam.cli.write.svg import write_svg_text

        return write_svg_text(pattern_scene(self.pattern))

    def _repr_svg_(self) -> str:
        return self.svg()

    def _repr_html_(self) -> str:
        from outseam.cli.pattern.drawing import pattern_scene
        from outseam.cli.write.svg import write_inline_svg
        from outseam.draft.inputs.show import show_length

        rows = "".join(
            f"<tr><td>{escape(name.replace('_', ' '))}</td>"
            f"<td>{escape(show_length(mm, self.spec.units))}</td></tr>"
            for name, mm in self.figures.items()
        )
        said = "".join(f"<li>{escape(text)}</li>" for text in self.warnings)
        return (
            f"<h3>{escape(self.spec.title or 'Pants')}</h3>"
            f"<div style='max-width: 40em'>{write_inline_svg(pattern_scene(self.pattern))}</div>"
            f"<ul>{said}</ul><table>{rows}</table>"
        )
