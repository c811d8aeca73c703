"""A lay is kept and drawn again; it is searched anew when the pieces have changed."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from outseam.draft.fabric import Fabric
from outseam.draft.lay.ways.length_in_hand import remedies
from outseam.draft.lay.ways.plan import plan
from outseam.draft.model import Pattern


def knit(**more: object) -> Fabric:
    return Fabric(stretch_across=0.5, width=1400.0, **more)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def keep(make_pattern: Callable[..., Pattern]) -> str:
    """A lay as it is kept, made once."""
    return json.dumps(plan([make_pattern(fabric=knit())], seconds=0.0).keep)


@pytest.mark.parametrize("fold", ["single", "folded"])
def test_kept_and_read_back_is_the_same_lay(
    make_pattern: Callable[..., Pattern], fold: str
) -> None:
    pattern = make_pattern(fabric=knit(fold=fold))
    first = plan([pattern], seconds=0.0)
    data = json.loads(json.dumps(first.keep))
    again = plan([pattern], kept=data, seconds=0.0)
    assert first.fresh
    assert not again.fresh
    assert again.lay.length_mm == first.lay.length_mm
    assert again.lay.opened_mm == first.lay.opened_mm
    assert [(p.key, p.lie) for p in again.lay.placed] == [(p.key, p.lie) for p in first.lay.placed]
    assert again.keep == first.keep


def _break(data: dict[str, Any], damage: str) -> Any:
    if damage == "version":
        return {**data, "outseam_lay": 99}
    if damage == "not a table":
        return [data]
    if damage == "moved":
        data["placed"][0] |= {k: data["placed"][1][k] for k in ("x_mm", "y_mm")}
    elif damage == "nan":
        data["placed"][0]["x_mm"] = float("nan")
    elif damage == "text":
        data["placed"][0]["y_mm"] = "0"
    elif damage == "twice":
        data["placed"][1]["piece"] = data["placed"][0]["piece"]
    elif damage == "lost":
        data["placed"].pop()
    elif damage == "turned":
        data["placed"][0]["turn_deg"] = 90
    elif damage == "face":
        data["placed"][0]["face"] = "sideways"
    elif damage == "size":
        data["pieces"]["1.front.1"]["length_mm"] += 2.0
    elif damage == "row":
        data["placed"][0] = 7
    elif damage == "cloth":
        data["cloth"]["width_mm"] = 1390.0
    return data


@pytest.mark.parametrize(
    "damage",
    [
        *("version", "not a table", "moved", "nan", "text", "twice", "lost", "turned", "face"),
        *("size", "row", "cloth"),
    ],
)
def test_what_no_longer_serves_is_said_and_made_anew(
    make_pattern: Callable[..., Pattern], keep: str, damage: str
) -> None:
    pattern = make_pattern(fabric=knit())
    again = plan([pattern], kept=_break(json.loads(keep), damage), seconds=0.0)
    assert again.fresh
    assert again.remark.startswith("The lay kept before no longer serves")
    assert not again.lay.errors


def test_a_lay_on_stripes_is_kept_like_the_others(make_pattern: Callable[..., Pattern]) -> None:
    pattern = make_pattern(fabric=knit(repeat_along=47.0))
    first = plan([pattern], seconds=0.0)
    assert first.keep["placed"]
    again = plan([pattern], kept=json.loads(json.dumps(first.keep)), seconds=0.0)
    assert not again.fresh
    assert again.keep == first.keep
    assert [p.lie for p in again.lay.placed] == [p.lie for p in first.lay.placed]


def test_changed_pieces_are_named(make_pattern: Callable[..., Pattern]) -> None:
    kept = plan([make_pattern(fabric=knit())], seconds=0.0).keep
    longer = make_pattern(fabric=knit(), inseam=700.0)
    assert "leg has changed" in plan([longer], kept=kept, seconds=0.0).remark


def test_again_keeps_the_shorter(make_pattern: Callable[..., Pattern], keep: str) -> None:
    """The search without a clock finds the same each time, so the kept lay is made longer here."""
    pattern = make_pattern(fabric=knit())
    same = plan([pattern], kept=json.loads(keep), again=True, seconds=0.0)
    assert not same.fresh
    assert "No shorter lay" in same.remark
    longer = json.loads(keep)
    last = max(longer["placed"], key=lambda p: p["x_mm"])
    last["x_mm"] += 3000.0
    kept = plan([pattern], kept=longer, seconds=0.0)
    assert not kept.fresh
    assert kept.lay.length_mm > same.lay.length_mm + 1000.0
    better = plan([pattern], kept=longer, again=True, seconds=0.0)
    assert better.fresh
    assert better.lay.length_mm == same.lay.length_mm


def test_remedies_are_drafted_and_laid(make_pattern: Callable[..., Pattern]) -> None:
    have = 1060.0
    pattern = make_pattern(fabric=knit(fold="folded", length_in_hand=have), leg="straight")
    lay = plan([pattern], seconds=0.0).lay
    short = [f for f in lay.findings if f.check == "length in hand"]
    assert lay.length_mm > have
    assert [f.level for f in short] == ["warning"]
    found = remedies([pattern], lay, have, seconds=0.0)
    fitting = [r for r in found if r.fits]
    assert fitting
    assert all(r.length_mm <= have for r in fitting)
    assert all(r.length_mm < lay.length_mm for r in found)
    shorter = next(r for r in fitting if "shorter: style.inseam" in r.says)
    # The shortening that is proposed is the least: a centimetre less is not enough.
    inseam = float(shorter.says.split("style.inseam ")[1].split()[0]) * 10.0
    less = make_pattern(fabric=knit(fold="folded"), leg="straight", inseam=inseam + 10.0)
    assert plan([less], seconds=0.0).lay.length_mm > have
    exact = make_pattern(fabric=knit(fold="folded"), leg="straight", inseam=inseam)
    assert plan([exact], seconds=0.0).lay.length_mm == pytest.approx(shorter.length_mm, abs=1.5)
