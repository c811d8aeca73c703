"""Spec texts made at random: valid ones on people drawn from the figures, and damaged ones.

Keys, their limits and their words are read from the program's own tables, so that a key added
there is tried here without a line being changed. A number is a seed: the same one gives the same
text, on any machine.
"""

from __future__ import annotations

import random
from functools import cache
from typing import Any, Final

from bench.people import NATURAL, draw

from outseam.draft.alter import ALTERATIONS
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.tables import Field, table_of
from outseam.draft.inputs.value_kinds import (
    Choice,
    ChoiceOrLength,
    Choices,
    ChoicesOrLengths,
    Flag,
    Length,
    Number,
    Ratio,
    Text,
)
from outseam.draft.spec.spec import PrintOptions
from outseam.draft.style import Style

#: Lengths that people ask for, mm, where the limits are far wider; else half of all drafts would
#: be refused for the same few keys.
USUAL_MM: Final = {
    "hem_width": (220, 900),
    "knee_width": (330, 800),
    "rise": (-120, 60),
    "front_rise": (-120, 40),
    "back_rise": (-90, 60),
    "flare_from": (250, 800),
    "inseam": (150, 850),
    "elastic_width": (10, 80),
    "band_height": (20, 120),
    "seam_allowance": (4, 20),
    "hem_allowance": (8, 60),
    "width": (900, 1800),
    "border_above_hem": (-30, 120),
    "length_in_hand": (800, 4000),
    "inseam_easing": (0, 8),
    "pocket_opening": (110, 170),
    "patch_width": (100, 180),
    "patch_height": (100, 190),
    "ankle_opening": (60, 260),
    "border_height": (50, 300),
    "border_from_selvedge": (0, 120),
    "border_eye": (0, 60),
    "other_border_height": (50, 200),
    "other_border_from_selvedge": (0, 120),
}
#: Keys that say nothing without another, and what the other may be.
NEEDS: Final[dict[str, tuple[str, tuple[Any, ...]]]] = {
    "flare_from": ("leg", ("flare",)),
    "pocket_opening": ("pocket", ("scoop", "side-seam", ["side-seam", "patch"])),
    "patch_width": ("pocket", ("patch", ["scoop", "patch"])),
    "patch_height": ("pocket", ("patch", ["patch", "side-seam"])),
    "belt_tie": ("belt", ("wide", "narrow")),
    "ankle_opening": ("ankle", ("slit", "zip")),
}
#: Keys of the style that a fabric without a border has no use for, and of the fabric one with one.
_OF_BORDERS: Final = frozenset({"border_above_hem", "band_from", "figure_at"})
_NOT_WITH_BORDERS: Final = frozenset({"repeat_along", "repeat_across", "fold"})
#: Of the keys that need not be given, about one in so many is.
_ONE_IN: Final = 5
_REQUIRED: Final = ("height", "waist", "hip", "inside_leg")
#: Heights that say the same; a file gives one of each.
_EITHER: Final = (("waist_height", "outside_leg", "body_rise"), ("waist_to_hip", "hip_height"))


class _Mm(float):
    """A length, to a tenth of a millimetre."""

    def __new__(cls, mm: float) -> _Mm:
        return super().__new__(cls, round(mm, 1))


@cache
def _people() -> tuple[tuple[str, dict[str, float]], ...]:
    return tuple(
        (build, person)
        for build in ("women", "men")
        for person in draw(build, 2000, 20310528, NATURAL)  # type: ignore[arg-type]
    )


def _value(rng: random.Random, field: Field) -> Any:
    kind = field.kind
    if isinstance(kind, ChoicesOrLengths):
        return rng.sample(tuple(kind.choices), rng.randint(1, len(kind.choices)))
    if isinstance(kind, Choice | Choices):
        words = tuple(kind.choices)
        if isinstance(kind, Choice):
            return rng.choice(words)
        if "none" in words and rng.random() < 0.5:
            return "none"
        words = tuple(w for w in words if w != "none")
        return rng.sample(words, rng.randint(1, min(2, len(words))))
    if isinstance(kind, ChoiceOrLength) and rng.random() < 0.6:
        return rng.choice(tuple(kind.choices))
    if isinstance(kind, Length | ChoiceOrLength):
        low, high = USUAL_MM.get(field.key, (kind.low, kind.high))
        if rng.random() < 0.05:
            low, high = kind.low, kind.high
        return _Mm(rng.uniform(low, high))
    if isinstance(kind, Ratio):
        low, high = kind.low, kind.high
        return f"{100.0 * rng.triangular(low, high, (2 * low + high) / 3):.1f} %"
    if isinstance(kind, Number):
        return round(rng.uniform(kind.low, kind.high), 3)
    if isinstance(kind, Flag):
        return rng.random() < 0.5
    assert isinstance(kind, Text)
    return rng.choice(("", "summer", "Zoë <b>&amp; [x]", "a" * kind.most))


def _told(value: Any, units: str = "mm") -> str:
    """Return a value as TOML; in a file of other units a length says that it is one of mm."""
    if isinstance(value, _Mm) and units != "mm":
        return f'"{value} mm"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, list):
        return "[" + ", ".join(map(_told, value)) + "]"
    return repr(value)


def _table(rng: random.Random, cls: type[Any]) -> dict[str, Any]:
    return {f.key: _value(rng, f) for f in table_of(cls) if rng.randrange(_ONE_IN) == 0}


def _style(rng: random.Random) -> dict[str, Any]:
    style = _table(rng, Style)
    for key, (other, values) in NEEDS.items():
        if key in style and rng.random() < 0.95:
            style[other] = rng.choice(values)
    return style


def _body(rng: random.Random) -> dict[str, Any]:
    build, person = rng.choice(_people())
    keys = [k for k in person if k not in _REQUIRED and rng.random() < 0.4]
    for same in _EITHER:
        given = [k for k in same if k in keys]
        keys = [k for k in keys if k not in given[1:]]
    body: dict[str, Any] = {"build": build} if rng.random() < 0.9 else {}
    return body | {k: _Mm(person[k]) for k in (*_REQUIRED, *keys)}


def _alterations(rng: random.Random) -> list[dict[str, Any]]:
    found = []
    for one in rng.sample(ALTERATIONS, rng.choice((0, 0, 0, 1, 1, 2, 3))):
        if any(one.opposite == other["what"] for other in found):
            continue
        entry: dict[str, Any] = {"what": one.name, "amount": _Mm(rng.uniform(0, one.most_mm))}
        if one.legs == "one" or (one.legs == "either" and rng.random() < 0.6):
            entry["side"] = rng.choice(("left", "right"))
        found.append(entry)
    return found


def _agree_on_borders(rng: random.Random, fabric: dict[str, Any], style: dict[str, Any]) -> None:
    """Leave out, nearly always, what does not go with a border or with none."""
    border = fabric.get("border", "none")
    left_out: set[str] = set()
    if border == "none":
        left_out = {k for k in fabric if "border" in k} | _OF_BORDERS
    else:
        fabric.setdefault("border_height", _Mm(rng.uniform(50, 300)))
        fabric.setdefault("stretch_along", f"{rng.uniform(0, 120):.0f} %")
        left_out = set(_NOT_WITH_BORDERS)
        if border == "one":
            left_out |= {k for k in fabric if k.startswith(("other_border", "borders_"))}
    for table in (fabric, style):
        for key in left_out & table.keys():
            if rng.random() < 0.97:
                del table[key]


def valid_text(seed: int, *, papers: bool = False) -> str:
    """Return a spec that nothing is wrong with by itself; its values may not go together."""
    rng = random.Random(seed)
    tables = {
        "body": _body(rng),
        "fabric": {"stretch_across": f"{rng.uniform(0, 120):.0f} %"} | _table(rng, Fabric),
        "style": _style(rng),
        "print": _table(rng, PrintOptions) if papers else {},
    }
    _agree_on_borders(rng, tables["fabric"], tables["style"])
    entries = [(f"[{name}]", keys) for name, keys in tables.items()]
    entries += [("[[alter]]", entry) for entry in _alterations(rng)]
    units = rng.choice(("cm", "in", "mm")) if papers else "mm"
    lines = [f'units = "{units}"']
    for heading, keys in entries:
        lines += ["", heading, *(f"{key} = {_told(value, units)}" for key, value in keys.items())]
    return "\n".join(lines) + "\n"


#: What is set into a text to damage it: marks of TOML and of this program, numbers at the edges.
_DAMAGE: Final = (
    *'[]{}"=.,#\n\r\t\\ ',
    *("'", '"""', "'''", "[[", "]]", "=", " = ", "\x00", "\x1b", "\ufeff", "\u2063", "\u202e"),
    *(
        "nan",
        "inf",
        "-inf",
        "1e307",
        "-1e307",
        "1e-320",
        "9" * 400,
        "0",
        "-0",
        "true",
        "1979-05-27",
    ),
    *('"50 %"', '"38 1/2 in"', '"1e5 in"', '"0/0"', '"7/0 in"', '"5 ft 6 in"', '"½ in"', '"١٠ cm"'),
    *('"\\ud800"', '"\\U0010FFFF"', "𝟗𝟕", "é", "\u2028", "%", "0x10", "1_000", "+1", "07", "1e400"),
    *("[body]\n", "[[alter]]\n", "[alter]\n", 'body = "x.toml"\n', "units = 3\n", "a.b.c = 1\n"),
    *("{a = 1}", "[[[[[[", "'" * 7, "what = 1\n", "side = 'left'\n", "amount = '1 kg'\n"),
)


def damaged_text(seed: int) -> str:
    """Return a text that a person, a broken editor or a prankster might hand in as a spec."""
    rng = random.Random(~seed)
    text = valid_text(rng.randrange(4000))
    for _ in range(rng.choice((1, 1, 2, 3, 8, 30))):
        at = rng.randrange(len(text) + 1)
        to = min(len(text), at + rng.choice((0, 0, 1, 1, 3, 20)))
        how = rng.randrange(6)
        if how < 3:
            text = text[:at] + rng.choice(_DAMAGE) + text[to:]
        elif how == 3:
            text = text[:at] + text[to:]
        elif how == 4:
            other = rng.randrange(len(text) + 1)
            text = text[:at] + text[other : other + 40] + text[to:]
        else:  # a value replaced whole, which keeps the rest readable
            lines = text.split("\n")
            i = rng.randrange(len(lines))
            key, equals, _ = lines[i].partition("=")
            if equals:
                lines[i] = f"{key}= {rng.choice(_DAMAGE)}"
            text = "\n".join(lines)
    return text
