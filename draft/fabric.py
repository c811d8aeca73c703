"""The fabric in hand: its table of the spec file, stretch classes and shrinkage factors."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from outseam.draft.inputs.show import Units, per_cent
from outseam.draft.inputs.usual import PIECE_GAP, USUAL_WIDTH
from outseam.draft.inputs.value_kinds import Choice, Flag, Length, Number, Ratio, Text

FabricKind = Literal["knit", "woven"]
Recovery = Literal["firm", "soft"]

Fold = Literal["single", "folded", "narrow"]
BorderSides = Literal["none", "one", "both"]

KINDS: Final = ("knit", "woven")
FOLDS: Final = ("single", "folded", "narrow")
SIDES: Final = ("none", "one", "both")
RECOVERIES: Final = ("firm", "soft")


#: From this weight on, g/m2, a fabric is heavy and wants a thicker needle; below the other it is
#: light, wants a finer one, and stays limp without interfacing (common practice, no source).
HEAVY_G: Final = 280.0
LIGHT_G: Final = 140.0

#: How pieces lie, as printed on them: with the most stretch round the body, or along a border.
STRETCH_LIES: Final = {
    "leg": "greatest stretch round the body",
    "band": "greatest stretch along the band",
}
ALONG_BORDER: Final = {
    "leg": "hem along the border, as the lay shows",
    "band": "long sides along the border, as the lay shows",
}


#: The grain of a piece that may lie along the fabric or across, wherever it is told.
EITHER_GRAIN: Final = "grain or cross grain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fabric:
    """What the file says about the fabric; None where it says nothing.

    `width` in mm, `weight` in g/m2, stretch and shrinkage as ratios. A draft reads the properties
    ending in `_ratio` or `_mm`, which fill the gaps with cautious values; `assumed` names those.
    """

    name: str = Text.key(
        "", help="what you call it; printed on the pattern", example="double knit, navy"
    )
    kind: FabricKind = Choice.key(
        "knit", choices=KINDS, help="how the fabric is made", also=("type", "fabric")
    )
    stretch_across: float | None = Ratio.key(
        None,
        within=(0.0, 3.0),
        help="how far it stretches from selvedge to selvedge: fold it a "
        "[few centimetres|couple of inches] in from the cut end, mark [10 cm|4 in] along the "
        "fold and pull firmly; [15 cm|6 in] is 50 %",
        example=0.5,
        also=("stretch", "stretch_width", "crosswise_stretch", "stretch_weft"),
        default_says="18 % for a knit, none for a woven",
    )
    stretch_along: float | None = Ratio.key(
        None,
        within=(0.0, 3.0),
        help="the same stretch test along the selvedge",
        example=0.25,
        also=("stretch_length", "lengthwise_stretch", "stretch_warp"),
        default_says="none",
    )
    shrink_across: float = Ratio.key(
        0.0,
        within=(-0.1, 0.3),
        help="how much narrower the fabric gets in the wash; leave out if you wash it first",
        example=0.03,
        also=("shrinkage_across", "shrinkage"),
    )
    shrink_along: float = Ratio.key(
        0.0,
        within=(-0.1, 0.3),
        help="how much shorter it gets in the wash; leave out if you wash it first",
        example=0.05,
        also=("shrinkage_along",),
    )
    width: float | None = Length.key(
        None,
        within=(200, 4000),
        help="usable width, without the selvedges",
        example=1500,
        default_says="[150 cm|60 in]",
    )
    weight: float | None = Number.key(
        None,
        within=(20, 1500),
        unit="g/m2",
        help="weight of a square metre in grams, as shops state it",
        example=320,
        hint="ounces per square yard times 33.9 are g/m2",
    )
    one_way: bool | None = Flag.key(
        None,
        help="true if the print or nap looks wrong upside down, so all pieces must lie one way",
        example=True,
        also=("nap", "directional", "oneway", "field_up"),
        default_says="false; asked for where two borders are alike",
    )
    slippery: bool = Flag.key(
        False, help="true if it slides on the table; it is then cut in a single layer"
    )
    fold: Fold = Choice.key(
        "single",
        choices=FOLDS,
        help="how it lies on the table when you cut: single, one layer face up; folded, "
        "lengthwise, selvedge to selvedge; or narrow, a narrow fold: one selvedge turned in "
        "only as far as the pieces need, single beside it",
        also=("layers", "layer", "folding"),
    )
    gap: float = Length.key(
        within=(0, 50),
        help="least distance to leave between two pieces on the fabric",
        also=("spacing", "distance"),
        usual=PIECE_GAP,
    )
    length_in_hand: float | None = Length.key(
        None,
        within=(100, 100_000),
        help="how much of it you have, if it is already yours",
        example=1800,
        also=("length", "have", "amount", "fabric_length", "in_hand"),
        default_says="as much as is needed",
    )
    repeat_along: float | None = Length.key(
        None,
        within=(5, 2000),
        help="stripes or checks: after what length along the selvedge they come again; the "
        "legs then meet at the seams",
        example=60,
        also=("stripe_repeat", "repeat", "check_repeat", "pattern_repeat"),
        default_says="nothing to match",
    )
    repeat_across: float | None = Length.key(
        None,
        within=(5, 2000),
        help="the same from selvedge to selvedge; left and right leg then look alike",
        example=50,
        also=("repeat_crosswise",),
        default_says="nothing to match",
    )
    border: BorderSides = Choice.key(
        "none",
        choices=SIDES,
        help="a border printed along one selvedge or along both; legs are then laid a quarter "
        "turned, hem along the border, and drafted for the stretch along",
        also=("border_print", "borders"),
    )
    border_from_selvedge: float = Length.key(
        0.0,
        within=(0, 1000),
        help="plain fabric between the usable edge and the border",
        also=("border_start", "border_offset"),
    )
    border_height: float | None = Length.key(
        None,
        within=(5, 1500),
        help="how far the border reaches into the fabric, from its edge",
        example=220,
        also=("border_width", "border_depth"),
        default_says="needed where there is a border",
    )
    border_eye: float | None = Length.key(
        None,
        within=(0, 1500),
        help="middle of its main figure, from the border's edge; it comes to lie in the "
        "middle of the waistband's face",
        example=110,
        also=("border_middle", "border_centre", "border_center"),
        default_says="half its height",
    )
    borders_alike: bool = Flag.key(
        False,
        help="borders along both selvedges: true if they are the same print, so that one leg "
        "may stand on each; false, and all legs stand on the border measured above",
        also=("same_borders", "borders_same", "borders_match"),
    )
    other_border_height: float | None = Length.key(
        None,
        within=(5, 1500),
        help="how far the border of the other selvedge reaches, if it is another print",
        example=90,
        default_says="as the first",
    )
    other_border_from_selvedge: float | None = Length.key(
        None,
        within=(0, 1000),
        help="plain fabric between the other usable edge and its border",
        example=20,
        default_says="as the first",
    )
    other_border_eye: float | None = Length.key(
        None,
        within=(0, 1500),
        help="middle of the other border's main figure, from that border's edge",
        example=45,
        default_says="half its height",
    )
    border_mirrors: bool = Flag.key(
        False,
        help="true if a figure of the border is its own mirror image, left half like right "
        "half; left and right leg can then be mirror images",
        also=("mirrored_figures", "symmetrical_figures"),
    )
    border_repeat: float | None = Length.key(
        None,
        within=(5, 2000),
        help="after what length along the selvedge the border's figures come again; legs then "
        "match at the outseams",
        example=320,
        default_says="no figures to match",
    )
    other_border_repeat: float | None = Length.key(
        None,
        within=(5, 2000),
        help="after what length the figures of the other border come again, if it is another print",
        example=120,
        default_says="as the first",
    )
    border_shift: float | None = Length.key(
        None,
        within=(0, 2000),
        help="borders along both selvedges: how far the middle of a figure of one border lies "
        "behind that of the other, measured square across and on along the selvedge; give it "
        "only if you have measured it: with borders alike one leg may then stand on each. "
        "Where the two repeats differ, measure at one figure of the first and put a pin there",
        example=0,
        default_says="not known: all legs stand on one border",
    )
    recovery: Recovery = Choice.key(
        "firm",
        choices=RECOVERIES,
        help="firm if it springs back after the stretch test, soft if it stays longer",
    )

    @property
    def stretch_across_ratio(self) -> float:
        """Stretch across; not given: the least of the knit classes for a knit, 0 for a woven."""
        if self.stretch_across is not None:
            return self.stretch_across
        return STRETCH_CLASSES[0].from_ratio if self.kind == "knit" else 0.0

    @property
    def stretch_along_ratio(self) -> float:
        """Stretch along; 0 if not given, so that nothing is turned or strained on a guess."""
        return self.stretch_along or 0.0

    @property
    def turned(self) -> bool:
        """Whether the legs are laid a quarter turned, for a border along their hem."""
        return self.border != "none"

    @property
    def stretch_round_ratio(self) -> float:
        """Stretch that comes to lie round the body: across, or along where the legs are turned."""
        return self.stretch_along_ratio if self.turned else self.stretch_across_ratio

    @property
    def stretch_length_ratio(self) -> float:
        """How far it stretches along the leg, as the pieces lie."""
        return self.stretch_across_ratio if self.turned else self.stretch_along_ratio

    @property
    def round_note(self) -> str:
        """Which stretch goes round the body and how much it is, in a few words."""
        way = "along" if self.turned else "across"
        return f"round the body: stretch {way}, {per_cent(self.stretch_round_ratio)}"

    def lies(self, what: Literal["leg", "band"], *, stretches: bool) -> str:
        """Return how legs or waistband pieces lie on it, as printed on them; "" if any way does.

        `stretches` says whether the pattern reckons with its stretch.
        """
        if self.turned:
            return ALONG_BORDER[what]
        return STRETCH_LIES[what] if stretches else ""

    @property
    def grain_says(self) -> str:
        """What is printed at the grain arrow of legs and waistband: how it lies to the selvedge."""
        return "cross grain" if self.turned else "grain"

    def width_mm(self, units: Units) -> float:
        """Usable width; if not given, one that is sold where a file in these units is at home."""
        return USUAL_WIDTH.mm(units) if self.width is None else self.width

    @property
    def assumed(self) -> tuple[str, ...]:
        """The keys whose value was filled in because the file does not give it."""
        keys = ("stretch_across", "stretch_along", "width")
        return tuple(key for key in keys if getattr(self, key) is None)

    @property
    def shrink_factors(self) -> tuple[float, float]:
        """By how much a piece is cut larger (across, along) so that it is right once washed."""
        return 1 / (1 - self.shrink_across), 1 / (1 - self.shrink_along)

    @property
    def piece_factors(self) -> tuple[float, float]:
        """The same by the piece's own directions (round the body, up the body)."""
        across, along = self.shrink_factors
        return (along, across) if self.turned else (across, along)


class StretchClass(NamedTuple):
    """A trade class of stretch and the stretch it starts from."""

    name: str
    from_ratio: float


#: Classes of knits by their stretch across; from memory: Armstrong, Patternmaking for Fashion
#: Design, chapter on knits. A fabric belongs to the highest class whose figure it reaches.
STRETCH_CLASSES: Final = (
    StretchClass("stable", 0.18),
    StretchClass("moderate", 0.25),
    StretchClass("stretchy", 0.50),
    StretchClass("super-stretch", 1.00),
)


def classify_stretch(stretch_ratio: float) -> StretchClass | None:
    """The trade class of a stretch, or None below the stable class (treat it like a woven)."""
    # A reading such as 0.5 typed as "50 %" must not miss its class by rounding.
    reached = [one for one in STRETCH_CLASSES if stretch_ratio >= one.from_ratio - 1e-9]
    return reached[-1] if reached else None
