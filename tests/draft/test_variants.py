"""Values to try are read as the spec reads them; variants keep their place, drafted or refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

import outseam.draft.variants
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec, parse_spec
from outseam.draft.style import Style
from outseam.draft.variants import (
    Candidate,
    changes_between,
    compare_specs,
    parse_vary,
    value_words,
    vary_spec,
)

BODY = "[body]\nheight = 168\nwaist = 82\nhip = 104\ninside_leg = 77\n"


@pytest.fixture(scope="module")
def spec(measured: Body) -> Spec:
    return Spec(body=measured, fabric=Fabric(stretch_across=0.5), style=Style())


@pytest.mark.parametrize(
    ("text", "units", "values"),
    [
        ("rise=high,mid,low", "cm", ("high", "mid", "low")),
        ("rise=high, -3 cm , +2", "cm", ("high", -30.0, 20.0)),
        ("rise=-3", "in", (-76.2,)),
        ("style.hem_width = 44, 17 1/2 in", "cm", (440.0, 444.5)),
        ("hem_width=17 1/2", "in", (444.5,)),
        ("hem_width=62,5;70", "cm", (625.0, 700.0)),
        ("hem_width=default,44", "cm", (None, 440.0)),
        ("fit=Easy,LOOSE", "cm", ("easy", "loose")),
        ("length=seven eighths", "cm", ("seven-eighths",)),
        ("elastic_ratio=90 %,0.8", "cm", (0.9, 0.8)),
        ("pocket=none,scoop+patch", "cm", (("none",), ("scoop", "patch"))),
        ("flare_from=knee,60", "cm", ("knee", 600.0)),
    ],
)
def test_values_are_read_as_in_the_file(text: str, units: str, values: tuple[object, ...]) -> None:
    found = parse_vary(text, units).values  # type: ignore[arg-type]
    assert len(found) == len(values)
    for got, want in zip(found, values, strict=True):
        assert got == (pytest.approx(want) if isinstance(want, float) else want)


@pytest.mark.parametrize("key", ["rise", "hem_width", "fit", "pocket", "elastic_ratio"])
def test_a_value_means_the_same_in_the_file(key: str) -> None:
    typed, written = {
        "rise": ("-6.5", "-6.5"),
        "hem_width": ("45.5", "45.5"),
        "fit": ("loose", '"loose"'),
        "pocket": ("scoop+patch", '["scoop", "patch"]'),
        "elastic_ratio": ("85 %", '"85 %"'),
    }[key]
    from_file = parse_spec(f"{BODY}[style]\n{key} = {written}\n").style
    value = parse_vary(f"{key}={typed}", "cm").values[0]
    assert value == getattr(from_file, key)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("rise", ("rise=high,mid",)),
        ("=high", ("a key of [style]",)),
        ("rise=high,,low", ("--vary rise", "empty")),
        ("rise=", ("--vary rise", "empty")),
        ("rise=hgh", ("--vary rise", "did you mean", '"high"')),
        ("rise=-40", ("--vary rise", "-40", "-20 cm to 12 cm")),
        ("hem=44", ("hem_width",)),
        ("lenght=full", ("did you mean", '"length"')),
        ("hip=104,106", ("[body]", "a file for each")),
        ("overlap=5", ("[print]",)),
        ("hem_width=44,440 mm", ('"44"', '"440 mm"', "the same")),
        ("fit=easy,Easy", ("the same",)),
        ("fit=44", ("--vary fit", "44", "easy")),
        ("hem_width=44 kg", ("--vary hem_width", "kg")),
        ("hem_width=nan", ("--vary hem_width", "nan")),
        ("hem_width=" + "9" * 5000, ("--vary hem_width",)),
        ("pocket=scoop+sash", ("--vary pocket", "sash")),
    ],
)
def test_what_cannot_be_read_is_one_sentence(text: str, words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as refused:
        parse_vary(text, "cm")
    said = str(refused.value)
    assert "\n" not in said
    assert len(said) < 600
    for word in words:
        assert word in said


def vary(spec: Spec, *texts: str) -> outseam.draft.variants.Comparison:
    return vary_spec(spec, [parse_vary(text, spec.units) for text in texts])


def test_a_grid_runs_along_the_key_with_more_values(spec: Spec) -> None:
    found = vary(spec, "fit=easy,loose", "rise=high,mid,-9 cm")
    assert found.columns == 3
    assert [v.number for v in found.variants] == [1, 2, 3, 4, 5, 6]
    assert [(v.spec.style.rise, v.spec.style.fit) for v in found.variants if v.spec] == [
        *(("high", "easy"), ("mid", "easy"), (-90.0, "easy")),
        *(("high", "loose"), ("mid", "loose"), (-90.0, "loose")),
    ]
    assert found.variants[5].label == "rise -9 cm, fit loose"
    assert [v.number for v in found.variants if v.as_written] == [2]


def test_each_variant_is_the_draft_of_its_spec(spec: Spec) -> None:
    """The body is completed once for all; nothing of one variant may leak into the next."""
    for v in vary(spec, "leg=straight,flare", "fit=easy,loose").variants:
        assert v.spec is not None
        assert v.pattern is not None
        alone = draft_pattern(v.spec)
        assert v.pattern.block.hip_mm == alone.block.hip_mm
        assert (v.pattern.block.front.outseam.cubics == alone.block.front.outseam.cubics).all()
        assert v.pattern.spec == v.spec


def test_a_list_has_no_columns(spec: Spec) -> None:
    assert vary(spec, "rise=high,low").columns == 0
    assert vary(spec, "rise=high,low", "fit=loose").columns == 0


def test_one_value_is_compared_with_the_file(spec: Spec) -> None:
    found = vary(spec, "rise=low")
    assert [v.label for v in found.variants] == ["as in the file", "rise low"]
    assert [v.as_written for v in found.variants] == [True, False]
    assert [str(c) for c in found.variants[1].changes] == ["style.rise: mid → low"]
    with pytest.raises(InputError, match="already"):
        vary(spec, "rise=mid")


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        (("rise=high,low", "fit=easy,loose", "leg=slim,flare"), "3 times"),
        (("rise=high,low", "rise=mid"), "twice"),
        (("rise=1,2,3,4,5,6,7", "fit=easy,loose"), "7 × 2 = 14 variants"),
        (("rise=1,2,3,4,5,6,7,8,9,10,11,12,-1",), "13 variants"),
    ],
)
def test_more_than_can_be_shown_is_refused(spec: Spec, texts: tuple[str, ...], words: str) -> None:
    with pytest.raises(InputError, match=words):
        vary(spec, *texts)


def test_twelve_are_not_too_many(spec: Spec) -> None:
    assert len(vary(spec, "rise=1,2,3,4,5,6", "fit=easy,loose").drafted) == 12


def test_a_refused_variant_keeps_its_place(spec: Spec) -> None:
    woven = replace(spec, fabric=Fabric(kind="woven"))
    found = vary(woven, "fit=loose,close,easy")
    assert [v.number for v in found.drafted] == [1, 3]
    (refused,) = found.refused
    assert refused.number == 2
    assert "stretches 0 %" in refused.refused
    assert refused.label == "fit close"


def test_a_pattern_that_fails_its_checks_is_refused(
    spec: Spec, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = outseam.draft.variants.draft_measures

    def spoilt(one: Spec, measures: object) -> object:
        pattern = real(one, measures)  # type: ignore[arg-type]
        if one.style.rise != "low":
            return pattern
        worst = replace(pattern.findings[0], level="error", check="seams match", where="inseam")
        return replace(pattern, findings=(worst, *pattern.findings[1:]))

    monkeypatch.setattr(outseam.draft.variants, "draft_measures", spoilt)
    found = vary(spec, "rise=high,low")
    assert found.variants[1].pattern is None
    assert "seams match, inseam" in found.variants[1].refused


def test_a_variant_that_breaks_the_program_leaves_the_others(
    spec: Spec, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = outseam.draft.variants.draft_measures

    def broken(one: Spec, measures: object) -> object:
        if one.style.rise == "low":
            raise ZeroDivisionError("division by zero")
        return real(one, measures)  # type: ignore[arg-type]

    monkeypatch.setattr(outseam.draft.variants, "draft_measures", broken)
    found = vary(spec, "rise=high,low,mid")
    assert [v.number for v in found.drafted] == [1, 3]
    assert "please report it" in found.refused[0].refused


def test_changes_name_every_key_that_differs() -> None:
    before = parse_spec(f'title = "one"\n{BODY}[style]\nrise = -5\nhem_width = 44\n')
    after = parse_spec(
        f'title = "two"\n{BODY.replace("104", "106")}'
        '[fabric]\nstretch_across = "40 %"\n[style]\nrise = "+2 cm"\nhem_width = "440 mm"\n'
    )
    found = changes_between(before, after, "cm")
    assert [(c.key, c.before, c.after) for c in found] == [
        ("title", "one", "two"),
        ("body.hip", "104 cm", "106 cm"),
        ("fabric.stretch_across", "18 % for a knit, none for a woven", "40 %"),
        ("style.rise", "-5 cm", "+2 cm"),
    ]
    assert [c.named for c in found] == [True, False, False, False]


def test_the_same_in_other_units_is_no_change() -> None:
    metric = parse_spec(f"{BODY}[style]\nhem_width = 50.8\n")
    mixed = parse_spec(f'{BODY}[style]\nhem_width = "20 in"\n')
    assert changes_between(metric, mixed, "cm") == ()


def test_names_are_told_only_when_nothing_else_differs() -> None:
    one = parse_spec(f'title = "one"\n{BODY}')
    two = parse_spec(f'title = "two"\n{BODY}')
    three = parse_spec(f'title = "three"\n{BODY}[style]\nfit = "loose"\n')
    found = compare_specs(
        [Candidate(label=x, spec=s) for x, s in zip("abc", (one, two, three), strict=True)]
    )
    assert [[c.key for c in v.telling] for v in found.variants] == [[], ["title"], ["style.fit"]]


def test_specs_are_compared_with_the_first_that_could_be_read() -> None:
    spec = parse_spec(BODY)
    inches = parse_spec(
        'units = "in"\n[body]\nheight = 66\nwaist = 32\nhip = 41\ninside_leg = 30\n'
    )
    found = compare_specs(
        [
            Candidate(label="gone", refused="there is no such file"),
            Candidate(label="a", spec=inches),
            Candidate(label="b", spec=spec),
        ]
    )
    assert found.units == "in"
    assert [v.number for v in found.drafted] == [2, 3]
    assert found.variants[1].changes == ()
    assert "body.hip" in [c.key for c in found.variants[2].changes]
    with pytest.raises(InputError, match="1 file"):
        compare_specs([Candidate(label="a", spec=spec)])


@pytest.mark.parametrize(
    ("text", "units", "words"),
    [
        ("rise=2", "cm", "+2 cm"),
        ("rise=-3 in", "cm", "-3 in"),
        ("rise=high", "cm", "high"),
        ("flare_from=60", "cm", "60 cm"),
        ("hem_width=default", "cm", "as the leg shape has it"),
        ("hem_width=17 1/2", "in", "17 1/2 in"),
        ("elastic_ratio=0.85", "cm", "85 %"),
        ("pocket=scoop+patch", "cm", "scoop + patch"),
    ],
)
def test_values_in_words(text: str, units: str, words: str) -> None:
    found = parse_vary(text, units)  # type: ignore[arg-type]
    assert value_words(found.field, found.values[0], units) == words  # type: ignore[arg-type]
