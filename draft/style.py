"""The style asked for: its table of the spec file. What the words mean is decided by the block."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

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

    fit: Annotated[
        str, Choice(choices=FIT_NAMES, help="how much room between body and fabric", also=("ease",))
    ] = "easy"
    leg: Annotated[
        str,
        Choice(choices=LEG_NAMES, help="shape of the leg", also=("legs", "shape", "leg_shape")),
    ] = "straight"
    flare_from: Annotated[
        str | float | None,
        ChoiceOrLength(
            choices=FLARE_STARTS,
            low=50,
            high=1100,
            length_says="a height above the floor",
            help="where the leg begins to widen toward the hem",
            example="knee",
            also=("flare_start", "flare"),
            default_says="as the leg shape has it",
        ),
    ] = None
    hem_width: Annotated[
        float | None,
        Length(
            low=140,
            high=3000,
            help="finished hem, measured all round one leg",
            example=440,
            hint="the hem is measured all round, not flat",
            also=("hem", "hem_girth", "bottom_width", "leg_opening", "bottom"),
            default_says="as the leg shape has it",
        ),
    ] = None
    knee_width: Annotated[
        float | None,
        Length(
            low=200,
            high=3000,
            help="finished leg at the knee, measured all round",
            example=460,
            hint="the knee is measured all round, not flat",
            also=("knee", "knee_girth"),
            default_says="as the leg shape has it",
        ),
    ] = None
    rise: Annotated[
        str | float,
        ChoiceOrLength(
            choices=RISE_NAMES,
            low=-200,
            high=120,
            length_says="a distance from the waist tape",
            help=f"where the finished top sits: {RISES_SAY}; "
            'or how far above (["+2 cm"|"+3/4 in"]) or below (["-5 cm"|"-2 in"]) your waist tape',
            also=("waist_position", "rise_height"),
        ),
    ] = "mid"
    front_rise: Annotated[
        float | None,
        Length(
            low=-250,
            high=120,
            help="the rise at the centre front only, if the front should dip",
            example=-60,
            default_says="as the rise",
        ),
    ] = None
    back_rise: Annotated[
        float | None,
        Length(
            low=-250,
            high=120,
            help="the rise at the centre back only",
            example=-40,
            default_says="as the rise",
        ),
    ] = None
    length: Annotated[
        str,
        Choice(choices=LENGTH_NAMES, help="how long the leg is", also=("leg_length", "hem_length")),
    ] = "full"
    inseam: Annotated[
        float | None,
        Length(
            low=50,
            high=1200,
            help="finished inseam, if you want it exact: it then replaces the word above",
            example=760,
            also=("inseam_length", "inside_leg"),
            default_says="from the length",
        ),
    ] = None
    band: Annotated[
        str, Choice(choices=BAND_NAMES, help="kind of waistband", also=("waistband",))
    ] = "folded"
    elastic_width: Annotated[
        float,
        Length(
            low=5,
            high=120,
            help="width of the elastic in the waistband",
            also=("elastic",),
            usual=ELASTIC_WIDTH,
        ),
    ] = ELASTIC_WIDTH.metric_mm
    band_height: Annotated[
        float | None,
        Length(
            low=10,
            high=250,
            help="height of the finished waistband, if it should not follow from the elastic",
            example=54,
            also=("band_width", "waistband_height", "waistband_width"),
            default_says="elastic and the room it needs",
        ),
    ] = None
    elastic_ratio: Annotated[
        float | None,
        Ratio(
            low=0.5,
            high=1.1,
            help="length of the elastic against your girth where it sits",
            example=0.9,
            also=("elastic_length",),
            default_says="by the kind of band",
        ),
    ] = None
    pocket: Annotated[
        tuple[str, ...],
        Choices(
            choices=POCKETS.keys(),
            help="pockets: a scoop cut away at the front hip, one in the side seam, patches on the "
            'back; one word, or two in a list, such as ["scoop", "patch"]',
            also=("pockets",),
        ),
    ] = ("none",)
    pocket_opening: Annotated[
        float | None,
        Length(
            low=100,
            high=260,
            help="length of the opening of a scoop or side-seam pocket",
            example=155,
            also=("pocket_mouth",),
            default_says="what a large hand of the build needs",
        ),
    ] = None
    patch_width: Annotated[
        float | None,
        Length(
            low=80,
            high=260,
            help="finished width of a patch pocket",
            example=150,
            also=("pocket_width",),
            default_says="from the hip",
        ),
    ] = None
    patch_height: Annotated[
        float | None,
        Length(
            low=80,
            high=300,
            help="finished height of a patch pocket",
            example=165,
            also=("pocket_height", "pocket_depth"),
            default_says="from its width",
        ),
    ] = None
    belt: Annotated[
        str,
        Choice(
            choices=BELTS.keys(),
            help="a belt caught in the side seams of the waistband and tied at the front: as wide "
            "as the band, or half of it",
            also=("tie", "tie_belt", "sash"),
        ),
    ] = "none"
    belt_tie: Annotated[
        float | None,
        Length(
            low=150,
            high=1500,
            help="how far each half of the belt goes on beyond the centre front",
            example=550,
            also=("tie_length", "belt_length"),
            default_says="enough for a bow",
        ),
    ] = None
    ankle: Annotated[
        str,
        Choice(
            choices=ANKLES.keys(),
            help="how the foot gets through the hem: through the closed leg, or through a slit or "
            "a zip in the outseam, which lets a close leg be as narrow as the ankle",
            also=("ankle_closure", "leg_opening_kind"),
        ),
    ] = "closed"
    ankle_opening: Annotated[
        float | None,
        Length(
            low=30,
            high=400,
            help="length of the slit or zip, from the finished hem up the outseam",
            example=140,
            also=("slit", "zip", "slit_length", "zip_length"),
            default_says="as far up as the foot needs",
        ),
    ] = None
    seam_allowance: Annotated[
        float,
        Length(
            low=3,
            high=50,
            help="added outside every seam",
            also=("seam", "seams"),
            usual=SEAM_ALLOWANCE,
        ),
    ] = SEAM_ALLOWANCE.metric_mm
    hem_allowance: Annotated[
        float,
        Length(
            low=5,
            high=150,
            help="turned up at the hem",
            also=("hem_depth",),
            usual=HEM_ALLOWANCE,
        ),
    ] = HEM_ALLOWANCE.metric_mm
    hem_line: Annotated[
        str,
        Choice(
            choices=HEM_LINES,
            help="square to the seams, on a flare a shallow arc; or straight and level, for a "
            "border: the flare then opens above the hem and falls straight down into it",
            also=("hem_shape", "straight_hem"),
        ),
    ] = "square"
    border_above_hem: Annotated[
        float | None,
        Length(
            low=-300,
            high=800,
            help="on a fabric with a border: how far above the finished hem the border's edge "
            "lies; below zero, that much of it is turned up with the hem",
            example=20,
            also=("border_at_hem", "border_from_hem"),
            default_says="on the hem, or as near as the fabric below the border allows",
        ),
    ] = None
    figure_at: Annotated[
        str,
        Choice(
            choices=FIGURE_PLACES,
            help="on a border whose repeat is known: free, wherever the lay is shortest; or "
            "centre, the middle of a figure on the crease of both fronts and at the centre front "
            "of the waistband",
            also=("figure", "centre_figure", "border_figure"),
        ),
    ] = "free"
    match_at: Annotated[
        str,
        Choice(
            choices=MATCH_LEVELS,
            help="on stripes or checks: the level of the outseam where front and back meet exactly",
            also=("match", "match_level"),
        ),
    ] = "hip"
    band_from: Annotated[
        str | None,
        Choice(
            choices=BAND_PLACES,
            help="on a fabric with a border: whether the waistband is cut from the border that the "
            "legs stand on, from that of the other selvedge, or from the plain part",
            example="border",
            default_says="from the border where both selvedges have one",
        ),
    ] = None
    inseam_easing: Annotated[
        float | None,
        Length(
            low=0,
            high=25,
            help="how much shorter the back inseam is, to be stretched onto the front; for wovens",
            example=5,
            also=("inseam_ease",),
            default_says="none in a knit",
        ),
    ] = None
