"""The style asked for: its table of the spec file. What the words mean is decided by the block."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from outseam.draft.bands import BAND_NAMES
from outseam.draft.fits import FIT_NAMES
from outseam.draft.inputs.usual import ELASTIC_WIDTH, HEM_ALLOWANCE, SEAM_ALLOWANCE
from outseam.draft.inputs.value_kinds import Choice, ChoiceOrLength, Choices, Length, Ratio
from outseam.draft.legs import LEG_NAMES
from outseam.draft.lengths import LENGTH_NAMES
from outseam.draft.rises import RISE_NAMES, RISES_SAY

FLARE_STARTS: Final = ("knee", "thigh")
MATCH_LEVELS: Final = ("hip", "knee", "hem")
BAND_PLACES: Final = ("border", "other border", "plain")
FIGURE_PLACES: Final = ("free", "centre")
HEM_LINES: Final = ("square", "straight")

#: The words of `pocket` and `belt`, each with where its feature is to be found, in the order in
#: which they are applied. They are named and not imported, because features look at the style.
POCKETS: Final = {
    "none": "",
    "scoop": "outseam.draft.features.scoop:POCKET",
    "side-seam": "outseam.draft.features.side_seam:POCKET",
    "patch": "outseam.draft.features.patch:POCKET",
}
BELTS: Final = {
    "none": "",
    "wide": "outseam.draft.features.belt:WIDE",
    "narrow": "outseam.draft.features.belt:NARROW",
}
#: The words of `ankle` beside "closed", found likewise.
ANKLES: Final = {
    "closed": "",
    "slit": "outseam.draft.features.ankle:SLIT",
    "zip": "outseam.draft.features.ankle:ZIP",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """What the pants should look like. Lengths in mm, None where the draft decides.

    `rise`, `front_rise`, `back_rise`: where the finished top sits against the waist tape, above it
    positive; `flare_from` as a float is a height above the floor.
    """

    fit: str = Choice.key(
        "easy", choices=FIT_NAMES, help="how much room between body and fabric", also=("ease",)
    )
    leg: str = Choice.key(
        "straight", choices=LEG_NAMES, help="shape of the leg", also=("legs", "shape", "leg_shape")
    )
    flare_from: str | float | None = ChoiceOrLength.key(
        None,
        choices=FLARE_STARTS,
        within=(50, 1100),
        length_says="a height above the floor",
        help="where the leg begins to widen toward the hem",
        example="knee",
        also=("flare_start", "flare"),
        default_says="as the leg shape has it",
    )
    hem_width: float | None = Length.key(
        None,
        within=(140, 3000),
        help="finished hem, measured all round one leg",
        example=440,
        hint="the hem is measured all round, not flat",
        also=("hem", "hem_girth", "bottom_width", "leg_opening", "bottom"),
        default_says="as the leg shape has it",
    )
    knee_width: float | None = Length.key(
        None,
        within=(200, 3000),
        help="finished leg at the knee, measured all round",
        example=460,
        hint="the knee is measured all round, not flat",
        also=("knee", "knee_girth"),
        default_says="as the leg shape has it",
    )
    rise: str | float = ChoiceOrLength.key(
        "mid",
        choices=RISE_NAMES,
        within=(-200, 120),
        length_says="a distance from the waist tape",
        help=f"where the finished top sits: {RISES_SAY}; "
        'or how far above (["+2 cm"|"+3/4 in"]) or below (["-5 cm"|"-2 in"]) your waist tape',
        also=("waist_position", "rise_height"),
    )
    front_rise: float | None = Length.key(
        None,
        within=(-250, 120),
        help="the rise at the centre front only, if the front should dip",
        example=-60,
        default_says="as the rise",
    )
    back_rise: float | None = Length.key(
        None,
        within=(-250, 120),
        help="the rise at the centre back only",
        example=-40,
        default_says="as the rise",
    )
    length: str = Choice.key(
        "full", choices=LENGTH_NAMES, help="how long the leg is", also=("leg_length", "hem_length")
    )
    inseam: float | None = Length.key(
        None,
        within=(50, 1200),
        help="finished inseam, if you want it exact: it then replaces the word above",
        example=760,
        also=("inseam_length", "inside_leg"),
        default_says="from the length",
    )
    band: str = Choice.key(
        "folded", choices=BAND_NAMES, help="kind of waistband", also=("waistband",)
    )
    elastic_width: float = Length.key(
        within=(5, 120),
        help="width of the elastic in the waistband",
        also=("elastic",),
        usual=ELASTIC_WIDTH,
    )
    band_height: float | None = Length.key(
        None,
        within=(10, 250),
        help="height of the finished waistband, if it should not follow from the elastic",
        example=54,
        also=("band_width", "waistband_height", "waistband_width"),
        default_says="elastic and the room it needs",
    )
    elastic_ratio: float | None = Ratio.key(
        None,
        within=(0.5, 1.1),
        help="length of the elastic against your girth where it sits",
        example=0.9,
        also=("elastic_length",),
        default_says="by the kind of band",
    )
    pocket: tuple[str, ...] = Choices.key(
        ("none",),
        choices=POCKETS.keys(),
        help="pockets: a scoop cut away at the front hip, one in the side seam, patches on the "
        'back; one word, or two in a list, such as ["scoop", "patch"]',
        also=("pockets",),
    )
    pocket_opening: float | None = Length.key(
        None,
        within=(100, 260),
        help="length of the opening of a scoop or side-seam pocket",
        example=155,
        also=("pocket_mouth",),
        default_says="what a large hand of the build needs",
    )
    patch_width: float | None = Length.key(
        None,
        within=(80, 260),
        help="finished width of a patch pocket",
        example=150,
        also=("pocket_width",),
        default_says="from the hip",
    )
    patch_height: float | None = Length.key(
        None,
        within=(80, 300),
        help="finished height of a patch pocket",
        example=165,
        also=("pocket_height", "pocket_depth"),
        default_says="from its width",
    )
    belt: str = Choice.key(
        "none",
        choices=BELTS.keys(),
        help="a belt caught in the side seams of the waistband and tied at the front: as wide "
        "as the band, or half of it",
        also=("tie", "tie_belt", "sash"),
    )
    belt_tie: float | None = Length.key(
        None,
        within=(150, 1500),
        help="how far each half of the belt goes on beyond the centre front",
        example=550,
        also=("tie_length", "belt_length"),
        default_says="enough for a bow",
    )
    ankle: str = Choice.key(
        "closed",
        choices=ANKLES.keys(),
        help="how the foot gets through the hem: through the closed leg, or through a slit or "
        "a zip in the outseam, which lets a close leg be as narrow as the ankle",
        also=("ankle_closure", "leg_opening_kind"),
    )
    ankle_opening: float | None = Length.key(
        None,
        within=(30, 400),
        help="length of the slit or zip, from the finished hem up the outseam",
        example=140,
        also=("slit", "zip", "slit_length", "zip_length"),
        default_says="as far up as the foot needs",
    )
    seam_allowance: float = Length.key(
        within=(3, 50),
        help="added outside every seam",
        also=("seam", "seams"),
        usual=SEAM_ALLOWANCE,
    )
    hem_allowance: float = Length.key(
        within=(5, 150), help="turned up at the hem", also=("hem_depth",), usual=HEM_ALLOWANCE
    )
    hem_line: str = Choice.key(
        "square",
        choices=HEM_LINES,
        help="square to the seams, on a flare a shallow arc; or straight and level, for a "
        "border: the flare then opens above the hem and falls straight down into it",
        also=("hem_shape", "straight_hem"),
    )
    border_above_hem: float | None = Length.key(
        None,
        within=(-300, 800),
        help="on a fabric with a border: how far above the finished hem the border's edge "
        "lies; below zero, that much of it is turned up with the hem",
        example=20,
        also=("border_at_hem", "border_from_hem"),
        default_says="on the hem, or as near as the fabric below the border allows",
    )
    figure_at: str = Choice.key(
        "free",
        choices=FIGURE_PLACES,
        help="on a border whose repeat is known: free, wherever the lay is shortest; or "
        "centre, the middle of a figure on the crease of both fronts and at the centre front "
        "of the waistband",
        also=("figure", "centre_figure", "border_figure"),
    )
    match_at: str = Choice.key(
        "hip",
        choices=MATCH_LEVELS,
        help="on stripes or checks: the level of the outseam where front and back meet exactly",
        also=("match", "match_level"),
    )
    band_from: str | None = Choice.key(
        None,
        choices=BAND_PLACES,
        help="on a fabric with a border: whether the waistband is cut from the border that the "
        "legs stand on, from that of the other selvedge, or from the plain part",
        example="border",
        default_says="from the border where both selvedges have one",
    )
    inseam_easing: float | None = Length.key(
        None,
        within=(0, 25),
        help="how much shorter the back inseam is, to be stretched onto the front; for wovens",
        example=5,
        also=("inseam_ease",),
        default_says="none in a knit",
    )
