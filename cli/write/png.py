"""Scene -> PNG: a small picture to look at where a person would rather look than read."""

from __future__ import annotations

from outseam.cli.scene.compose import with_margin
from outseam.cli.scene.scene import Scene
from outseam.cli.write.svg import write_svg_text
from outseam.draft.inputs.errors import OutseamError

#: What the picture of a folder's content is called.
PREVIEW = "preview.png"

#: The longer side in pixels: fills a screen, and is shown whole in a listing.
SIDE_PX = 1400

#: A picture larger than this is made smaller, so that it can be sent and listed anywhere.
MOST_BYTES = 200_000

#: White left round the drawing, of its longer side.
_MARGIN = 0.02


class NoPictureError(OutseamError):
    """The library that draws pixels is missing."""


def preview_png(scene: Scene, side_px: int = SIDE_PX) -> bytes:
    """Return the scene on white, at most `side_px` wide and high and `MOST_BYTES` large.

    Raises ValueError for a number that cannot be drawn, NoPictureError without cairo.
    """
    # Imported here: it takes longer than to draft, and most commands draw no pixels.
    try:
        import cairosvg
    except OSError as error:
        raise NoPictureError(
            f"{PREVIEW} needs the drawing library cairo, which is not on this system: install it "
            "(Debian and Ubuntu: libcairo2, elsewhere: cairo)"
        ) from error

    framed = with_margin(scene, _MARGIN * max(scene.width_mm, scene.height_mm))
    svg = write_svg_text(framed).encode()
    scale = side_px / max(framed.width_mm, framed.height_mm)
    while True:
        png: bytes = cairosvg.svg2png(
            bytestring=svg,
            output_width=max(1, round(framed.width_mm * scale)),
            output_height=max(1, round(framed.height_mm * scale)),
            background_color="white",
        )
        if len(png) <= MOST_BYTES:
            return png
        scale *= 0.8
