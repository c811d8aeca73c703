"""Pictures for a screen, from the drawings that are written anyway."""

from __future__ import annotations


def svg_to_png(svg: str, width_px: int) -> bytes:
    """Return an SVG as a PNG on white, `width_px` wide."""
    import cairosvg

    png: bytes = cairosvg.svg2png(
        bytestring=svg.encode(), output_width=width_px, background_color="white"
    )
    return png
