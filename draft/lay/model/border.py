"""A border printed along the selvedge: where it lies, and where that puts each piece across.

The hem runs along the border, so the legs lie a quarter turned, their hems toward a selvedge; a
waistband cut from the border has the border's eye in the middle of its face (common practice, no
source).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import measure, most_allowed, words
from outseam.draft.lay.model.placement import Turn
from outseam.draft.piece.piece import Piece

#: The selvedge a piece stands on: y = 0, or the far one.
Selvedge: TypeAlias = Literal["near", "far"]

#: Hem toward the near selvedge, or toward the far one.
TURN_OF: dict[Selvedge, Turn] = {"near": 90, "far": 270}


@dataclass(frozen=True, slots=True, kw_only=True)
class Border:
    """A border along one selvedge (y = 0) or both, mm, as it is on the fabric in hand.

    `edge_mm` is how far from the usable edge it begins, `height_mm` how far it reaches from there,
    `eye_mm` where the middle of its main figure is, from its edge too. `repeat_mm` is along;
    `shift_mm` is how far the figures of the far border lie behind those of the near one (None: not
    known). Turned end for end the fabric has the same shift, so it does not matter which is near.
    """

    both: bool
    edge_mm: float
    height_mm: float
    eye_mm: float
    repeat_mm: float | None = None
    shift_mm: float | None = None

    @property
    def sides(self) -> tuple[Selvedge, ...]:
        """The selvedges that have a border."""
        return ("near", "far") if self.both else ("near",)


def border_of(fabric: Fabric) -> Border | None:
    """Return the border of a fabric, None if it has none. Raises InputError if it cannot be."""
    if fabric.border == "none":
        for key in ("border_height", "border_eye", "border_repeat", "border_shift"):
            if getattr(fabric, key) is not None:
                raise InputError(
                    f"fabric.{key}",
                    "given for a fabric without a border",
                    'only with border = "one" or "both"',
                    "say along which selvedges the border is printed, or leave it out",
                )
        return None
    if fabric.repeat_along is not None or fabric.repeat_across is not None:
        raise InputError(
            "fabric.repeat_along",
            "given for a fabric with a border",
            "stripes and checks, or a border",
            "for figures along the border give border_repeat instead",
        )
    if fabric.border_height is None:
        raise InputError(
            "fabric.border_height",
            "not given for a fabric with a border",
            "the height of the border, from its edge",
            "measure how far it reaches into the fabric",
        )
    if fabric.fold != "single":
        raise InputError(
            "fabric.fold",
            f'"{fabric.fold}" for a fabric with a border',
            '"single": only in one layer can every hem be laid along the border',
            "leave fold out",
        )
    if fabric.border_shift is not None and (
        fabric.border != "both" or fabric.border_repeat is None
    ):
        raise InputError(
            "fabric.border_shift",
            "given for a fabric whose borders have no figures to compare",
            'only with border = "both" and a border_repeat',
            "leave it out, or say after what length the figures come again",
        )
    _require_room(fabric, fabric.border_height)
    eye = fabric.border_height / 2.0 if fabric.border_eye is None else fabric.border_eye
    if eye > fabric.border_height:
        raise InputError(
            "fabric.border_eye",
            words("{eye} from the border's edge, beyond its height", eye=measure(eye)),
            words("at most its height, {height}", height=most_allowed(fabric.border_height)),
            "measure both from the border's edge",
        )
    return Border(
        both=fabric.border == "both",
        edge_mm=fabric.border_from_selvedge,
        height_mm=fabric.border_height,
        eye_mm=eye,
        repeat_mm=fabric.border_repeat,
        shift_mm=fabric.border_shift,
    )


def _require_room(fabric: Fabric, height_mm: float) -> None:
    """Raise InputError for a border that is taller than the fabric, or two that overlap."""
    width, edge = fabric.width_mm, fabric.border_from_selvedge
    share = width / 2.0 if fabric.border == "both" else width
    if edge + height_mm <= share:
        return
    whole = "both borders lie" if share < width else "it lies"
    raise InputError(
        "fabric.border_height",
        words(
            "{height}, beginning {edge} from the selvedge, on a fabric {width} wide",
            height=measure(height_mm),
            edge=measure(edge),
            width=measure(width),
        ),
        words(
            "at most {room}, so that {whole} on it",
            room=most_allowed(max(0.0, share - edge)),
            whole=whole,
        ),
        "measure the border's height across the fabric, or check border_from_selvedge and width",
    )


def is_leg(piece: Piece) -> bool:
    """Return whether a piece has a hem to run along the border."""
    return {"hem_cut", "outseam", "inseam"} <= {e.name for e in piece.edges}


def hem_mm(piece: Piece) -> float:
    """Return the height of a leg's hem at its seams, in the piece's own coordinates.

    A flared hem is an arc; its ends are what meets, so they lie on the line.
    """
    ends = piece.edge("outseam").path.end[1], piece.edge("inseam").path.start[1]
    return (ends[0] + ends[1]) / 2.0


def face_middle_mm(piece: Piece) -> float:
    """Return the height of the middle of a waistband's face, in the piece's own coordinates.

    The face reaches from the lower edge to the fold, or to the upper edge where there is none.
    """
    low = piece.edge("lower").path.start[1]
    fold = next((k.path.start[1] for k in piece.lines if k.kind == "fold"), None)
    high = piece.edge("upper").path.start[1] if fold is None else fold
    return (low + high) / 2.0


def leg_level_mm(cut: Piece, border: Border, above_hem_mm: float, growth: float) -> float:
    """Return how high over its selvedge the origin of a leg (as cut) lies.

    `growth` is by how much the piece was grown up the body: a finished distance is that much
    more on the fabric in hand.
    """
    return border.edge_mm - above_hem_mm * growth - hem_mm(cut)


def band_level_mm(cut: Piece, border: Border) -> float:
    """Return how high over its selvedge the origin of a band piece (as cut) lies."""
    return border.edge_mm + border.eye_mm - face_middle_mm(cut)
