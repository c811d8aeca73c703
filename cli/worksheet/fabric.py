"""The fabric on the worksheet: how much of it, and how the pieces lie."""

from __future__ import annotations

from outseam.cli.cloth.thumbnail import small_lay
from outseam.cli.document.blocks import Blanks, DocumentBlock, Drawing
from outseam.cli.wording.fabric import FOR_IT, needed, no_lay_says, sold_says, width_says
from outseam.cli.wording.sheet import shrinkage_words
from outseam.draft.buying.shopping_list import to_buy_mm
from outseam.draft.inputs.show import show_length
from outseam.draft.lay.ways.quick import FabricLength
from outseam.draft.model import Pattern


def fabric_blocks(
    pattern: Pattern, found: FabricLength | None
) -> tuple[list[tuple[str, str]], list[DocumentBlock]]:
    """Return the fact about the fabric and what is shown below; a place to write where none is."""
    fabric, units = pattern.spec.fabric, pattern.spec.units
    washed = () if shrinkage_words(fabric) else ("washed and pressed",)
    if found is None or found.lay is None:
        wide = f" {show_length(fabric.width, units)} wide" if fabric.width else ""
        blank = Blanks(labels=(f"fabric{wide}: length, from a lay", *washed))
        if found is None:
            return [], [blank]
        return [("fabric", f"No lay was found at once: {no_lay_says(found)}.")], [blank]
    lay = found.lay
    about = "" if found.kept else "about "
    told = (
        f"{about}{needed(lay.length_mm, units)}, {width_says(found, fabric, units)}, as it is cut. "
    )
    told += (
        "From the lay kept beside the file."
        if found.kept
        else f"From a quick lay; {FOR_IT}, often a shorter one."
    )
    told += (
        f" To buy: {sold_says(to_buy_mm(lay.length_mm, fabric, units), units)}; outseam buy "
        "says why, and how much of other widths."
    )
    scene, scale = small_lay(lay, units, [p.name for p in pattern.pieces])
    grey = any(p.lie.face == "down" for p in lay.placed)
    which = "The lay" if found.kept else "A quick lay"
    caption = f"{which} at 1 : {scale}, cut end on the left; numbers as in the cutting list."
    if grey:
        caption += " Grey: face down."
    return [("fabric", told)], [
        Drawing(name="lay", scene=scene, caption=caption),
        *([Blanks(labels=washed)] if washed else []),
    ]
