"""The files of a lay: the drawing, the same on home paper, and the data."""

from __future__ import annotations

from collections.abc import Sequence

from outseam.cli.cloth.data import lay_data, lay_text
from outseam.cli.cloth.drawing import lay_scenes
from outseam.cli.scene.compose import stacked
from outseam.cli.scene.home_paper import on_home_paper
from outseam.cli.scene.scene import Scene
from outseam.cli.wording.fabric import cloth_says
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.cli.write.svg import write_svg_text
from outseam.draft.inputs.show import Units
from outseam.draft.lay.model.result import Lay
from outseam.draft.lay.ways.border_report import border_marks, figures_mm, pin_mm
from outseam.draft.lay.ways.length_in_hand import Remedy
from outseam.draft.model import Pattern


def lay_pages(patterns: Sequence[Pattern], lay: Lay, units: Units, title: str) -> tuple[Scene, ...]:
    """Return the drawings of a lay of patterns, on the fabric of the first."""
    first, border = patterns[0], lay.cloth.border
    return lay_scenes(
        lay,
        units,
        title,
        cloth_says(first.spec.fabric),
        () if border is None else border_marks(first, border),
        figures_mm(lay, patterns),
        pin_mm(lay, patterns),
    )


def lay_files(
    patterns: Sequence[Pattern], lay: Lay, helps: Sequence[Remedy] = ()
) -> dict[str, bytes]:
    """Return the files of a lay of patterns by name, in the units of the first; `helps` with it.

    However many pages there are, a folder gets the same files: none is ever left over.
    """
    spec = patterns[0].spec
    pages = lay_pages(patterns, lay, spec.units, " + ".join(lay.names))
    scenes = on_home_paper(pages, spec.home_paper)
    return {
        "lay.svg": write_svg_text(stacked(scenes)).encode(),
        "lay.pdf": write_sheet_pdf(scenes, title=scenes[0].title),
        "lay.json": lay_text(lay_data(lay, spec.units, helps)).encode(),
    }
