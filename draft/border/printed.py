"""The border as it is printed on the fabric in hand, and what the file must say about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import InEither, measure, most_allowed, words
from outseam.draft.style import Style

#: The selvedge a piece stands on: y = 0, or the far one.
Selvedge: TypeAlias = Literal["near", "far"]

#: Keys that have a meaning only where a border is printed, and only where there are two.
_OF_A_BORDER: Final = ("border_height", "border_eye", "border_repeat", "border_shift")
#: What makes the other border another print.
_OF_THE_OTHER: Final = (
    "other_border_repeat",
    "other_border_height",
    "other_border_from_selvedge",
    "other_border_eye",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Border:
    """A border along one selvedge (y = 0) or both, mm, as it is on the fabric in hand.

    `edge_mm` is how far from the usable edge it begins, `height_mm` how far it reaches from there,
    `eye_mm` where the middle of its main figure is, from its edge too. `other` is the border of the
    far selvedge where there are two. `alike` says that the two are one print. `repeat_mm` is along;
    `shift_mm` is how far the figures of the far border lie behind those of the near one (None: not
    known). Turned end for end the fabric has the same shift, so it does not matter which is near.
    Where the repeats differ, the shift holds at one figure of the near border only.
    """

    edge_mm: float
    height_mm: float
    eye_mm: float
    other: Border | None = None
    alike: bool = False
    repeat_mm: float | None = None
    shift_mm: float | None = None

    @property
    def both(self) -> bool:
        """Whether both selvedges have one."""
        return self.other is not None

    @property
    def sides(self) -> tuple[Selvedge, ...]:
        """The selvedges that have a border."""
        return ("near", "far") if self.both else ("near",)

    @property
    def apart(self) -> bool:
        """Whether the figures of the two borders come again after different lengths."""
        return self.other is not None and self.other.repeat_mm != self.repeat_mm

    def at(self, side: Selvedge) -> Border:
        """Return the border of one selvedge; that of the near one where there is no other."""
        return self.other if side == "far" and self.other is not None else self


def border_of(fabric: Fabric) -> Border | None:
    """Return the border of a fabric, None if it has none. Raises InputError if it cannot be."""
    if fabric.border == "none":
        keys = (*_OF_A_BORDER, *_OF_THE_OTHER, "borders_alike", "border_mirrors")
        _refuse_given(
            "fabric",
            _given(fabric, keys),
            "given for a fabric without a border",
            'only with border = "one" or "both"',
            "say along which selvedges the border is printed, or leave it out",
        )
        return None
    _refuse_beside_border(fabric)
    if fabric.border_height is None:
        raise InputError(
            "fabric.border_height",
            "not given for a fabric with a border",
            "the height of the border, from its edge",
            "measure how far it reaches into the fabric",
        )
    one = Border(
        edge_mm=fabric.border_from_selvedge,
        height_mm=fabric.border_height,
        eye_mm=_eye(fabric.border_eye, fabric.border_height, "border_eye"),
        alike=fabric.borders_alike,
        repeat_mm=fabric.border_repeat,
        shift_mm=fabric.border_shift,
    )
    if fabric.border == "both":
        one = replace(one, other=_other(fabric, one))
    elif fabric.borders_alike:
        raise InputError(
            "fabric.borders_alike",
            "true for a fabric with one border",
            'only with border = "both"',
            "leave it out, or say that both selvedges have a border",
        )
    else:
        _refuse_given(
            "fabric",
            _given(fabric, _OF_THE_OTHER),
            "given for a fabric with one border",
            'only with border = "both"',
            "leave it out, or say that both selvedges have a border",
        )
    _require_room(fabric, one)
    return one


def _given(fabric: Fabric, keys: Iterable[str]) -> list[str]:
    """Return which of the keys the file gives; a yes or no counts where it is a yes."""
    return [key for key in keys if (at := getattr(fabric, key)) is not None and at is not False]


def _refuse_given(table: str, given: list[str], got: str, allowed: str, hint: str) -> None:
    """Raise InputError for the first of keys that are given where they have no meaning."""
    if given:
        raise InputError(f"{table}.{given[0]}", got, allowed, hint)


def _eye(eye_mm: float | None, height_mm: float, key: str) -> float:
    """Return where the middle of the main figure is, half way up if nothing is said."""
    eye = height_mm / 2.0 if eye_mm is None else eye_mm
    if eye > height_mm:
        raise InputError(
            f"fabric.{key}",
            words("{eye} from the border's edge, beyond its height", eye=measure(eye)),
            words("at most its height, {height}", height=most_allowed(height_mm)),
            "measure both from the border's edge",
        )
    return eye


def _other(fabric: Fabric, one: Border) -> Border:
    """Return the border of the far selvedge: the same, unless the file measures it by itself."""
    given = _given(fabric, _OF_THE_OTHER)
    if not given:
        return replace(one)
    if fabric.borders_alike:
        _refuse_given(
            "fabric",
            given,
            "given for borders that are alike",
            "only where the border of the other selvedge is another print",
            "leave it out, or leave borders_alike out",
        )
    edge, height = fabric.other_border_from_selvedge, fabric.other_border_height
    height = one.height_mm if height is None else height
    eye = fabric.other_border_eye
    if eye is None and fabric.other_border_height is None:
        eye = min(one.eye_mm, height)
    return replace(
        one,
        edge_mm=one.edge_mm if edge is None else edge,
        height_mm=height,
        eye_mm=_eye(eye, height, "other_border_eye"),
        repeat_mm=fabric.other_border_repeat or one.repeat_mm,
    )


def _require_room(fabric: Fabric, border: Border) -> None:
    """Raise InputError for a border that is taller than the fabric, or two that overlap."""
    # Where the file gives no width, the narrower of the two usual ones.
    width = min(fabric.width_mm("cm"), fabric.width_mm("in"))
    far = 0.0 if border.other is None else border.other.edge_mm + border.other.height_mm
    share = width - far
    if border.edge_mm + border.height_mm <= share:
        return
    whole = "both borders lie" if far else "it lies"
    if border.other is not None and border.alike:
        share = width / 2.0
    raise InputError(
        "fabric.border_height",
        words(
            "{height}, beginning {edge} from the selvedge, on a fabric {width} wide",
            height=measure(border.height_mm),
            edge=measure(border.edge_mm),
            width=measure(width),
        ),
        words(
            "at most {room}, so that {whole} on it",
            room=most_allowed(max(0.0, share - border.edge_mm)),
            whole=whole,
        ),
        "measure the border's height across the fabric, or check border_from_selvedge and width",
    )


def require_said(fabric: Fabric, style: Style) -> Border | None:
    """Return the border; raise InputError where the file does not say what a draft needs to know.

    The cloth is turned, so another stretch goes round the body than in any other pants: it is
    never guessed. What a woven stretches is nothing, unless the file says that it does.
    """
    border = border_of(fabric)
    if border is None:
        _refuse_in_style(style)
        return None
    if fabric.stretch_along is None and (fabric.kind == "knit" or fabric.stretch_across):
        raise InputError(
            "fabric.stretch_along",
            "not given for a fabric with a border, which is turned so that this stretch goes round "
            "the body",
            "0 % or more",
            words(
                "mark {mark} along the selvedge and pull firmly: {pulled} is 40 %",
                mark=InEither("10 cm", "4 inches"),
                pulled=InEither("14 cm", "5 5/8 inches"),
            ),
        )
    if border.alike and fabric.one_way is None:
        raise InputError(
            "fabric.one_way",
            "not given for a fabric whose two borders are alike",
            "true or false",
            "say whether the field between them has an up: true, and all legs stand on one border; "
            "false, and one leg may stand on each",
        )
    if style.band_from == "other border":
        _require_other(fabric, border)
    if style.figure_at == "centre" and border.repeat_mm is None:
        raise InputError(
            "style.figure_at",
            '"centre" on a fabric whose border_repeat is not given',
            "only where the border's figures come again after a known length",
            "measure from the middle of a figure to the middle of the next one like it",
        )
    if (style.figure_at, style.band_from) == ("centre", "other border") and border.shift_mm is None:
        raise InputError(
            "fabric.border_shift",
            "not given, and a figure is to be at the centre of legs and waistband, which come from "
            "different borders",
            "0 or more",
            "measure how far a figure of the other border lies behind one of the first",
        )
    return border


def _refuse_in_style(style: Style) -> None:
    given = [k for k in ("border_above_hem", "band_from") if getattr(style, k) is not None]
    _refuse_given(
        "style",
        given + ["figure_at"] * (style.figure_at != "free"),
        "given for a fabric without a border",
        'only with fabric.border = "one" or "both"',
        "leave it out, or say where the border is",
    )


def _require_other(fabric: Fabric, border: Border) -> None:
    """Raise InputError where the band is to come from a border that is not there, or not known."""
    if not border.both:
        raise InputError(
            "style.band_from",
            '"other border" on a fabric with one border',
            '"border" or "plain"',
            'or fabric.border = "both", if the other selvedge has one too',
        )
    if not border.alike and fabric.other_border_height is None:
        raise InputError(
            "fabric.other_border_height",
            "not given, and the waistband is to be cut from the other border",
            "its height, from its edge",
            "measure it as the first one; if both are the same print, say borders_alike = true",
        )


def _refuse_beside_border(fabric: Fabric) -> None:
    """Raise InputError for what a fabric with a border cannot have."""
    if fabric.repeat_along is not None or fabric.repeat_across is not None:
        raise InputError(
            "fabric.repeat_along",
            "given for a fabric with a border",
            "stripes and checks, or a border",
            "for figures along the border give border_repeat instead",
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
