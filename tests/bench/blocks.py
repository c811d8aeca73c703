"""The block judged on people as a cutter would: what is asked beside what is measured.

Run `PYTHONPATH=tests python -m bench.blocks`. People are drawn from the survey's figures, measured
in full, with and without the halves of the crotch length, or at four places only; or they are the
adults of openintro `bdims`. Exit code 1 if something asked is missed.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np
from bench.people import FIGURES, draw, real_people

from outseam.curves.evaluate import curvatures_all, points_at
from outseam.curves.length import length
from outseam.curves.path import Path
from outseam.draft.block.block import Block, build_block
from outseam.draft.block.profile import inseam_lean_deg, leg_widths, profile_of
from outseam.draft.body.estimate import Body, Measures, complete
from outseam.draft.body.population import BUILDS, Build
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.legs import LEG_NAMES
from outseam.draft.piece.ruler import chords
from outseam.draft.style import Style

Floats = Any

#: Rise and band so that the crotch seam is drafted up to the waist tape.
AT_TAPE = {"rise": 50.0, "band_height": 50.0}
STRETCHES = {"close": (0.5, 0.18), "easy": (0.5,), "loose": (0.0,)}
LEGS = (*LEG_NAMES, "flare from thigh")
_GIRTHS = ("height", "waist", "hip", "inside_leg")
_FULL = (
    *(*_GIRTHS, "thigh", "knee", "calf", "ankle", "foot", "waist_height", "hip_height"),
    *("knee_height", "crotch_length", "waist_above_navel"),
)
WAYS = {"four": _GIRTHS, "full": _FULL, "halves": (*_FULL, "back_crotch_length")}


def people(build: Build, way: str, count: int, seed: int = 11) -> list[Body]:
    """Return people drawn from the figures, measured in one way."""
    level = () if way != "four" else ("waist_above_navel",)
    return [
        Body(build=build, **{k: p[k] for k in (*WAYS[way], *level)})
        for p in draw(build, count, seed, FIGURES)
    ]


def style_of(leg: str, fit: str) -> Style:
    """Return the style of a leg and a fit, its seam at the tape."""
    more: dict[str, Any] = {"flare_from": "thigh"} if leg == "flare from thigh" else {}
    return Style(leg=leg.split()[0], fit=fit, **AT_TAPE, **more)


def fabric_of(stretch: float) -> Fabric:
    """Return a knit of a stretch, or a woven that gives nothing."""
    return Fabric(stretch_across=stretch) if stretch else Fabric(kind="woven")


def wavy_waist(block: Block) -> bool:
    """Whether the back's waist edge bends both ways, by 1.5 degrees: a sag of under a mm."""
    u = np.linspace(0.0, 1.0, 66)
    p = points_at(block.back.waist, u)
    k = curvatures_all([block.back.waist], [(u[1:] + u[:-1]) / 2.0])[0]
    turns = k * np.hypot(*np.diff(p, axis=0).T)
    least = min(turns[turns > 0.0].sum(), -turns[turns < 0.0].sum())
    return bool(math.degrees(least) > 1.5)


def _curvature(path: Path, at: float) -> float:
    return float(curvatures_all([path], [np.array([at])])[0][0])


def radii(block: Block) -> tuple[float, float]:
    """Radius of each crotch curve at the crotch point, mm."""
    return tuple(  # type: ignore[return-value]
        1.0 / abs(_curvature(p.crotch, 1e-6)) for p in (block.front, block.back)
    )


def bisector_share(block: Block) -> float:
    """Where the back curve crosses the bisector of its end tangents, from their corner, over the
    fork (corner to crotch point).
    """
    z = block.back.crotch.cubics[0]
    p, q = z[0], z[3]
    a, b = z[1] - z[0], z[2] - z[3]
    a, b = a / np.hypot(*a), b / np.hypot(*b)
    t = np.linalg.solve(np.stack((a, -b), axis=-1), q - p)
    corner = p + t[0] * a
    half = -(a + b) / np.hypot(*(a + b))
    at = points_at(block.back.crotch, np.linspace(0.0, 1.0, 801)) - corner
    i = int(np.argmin(np.abs(at[:, 0] * half[1] - at[:, 1] * half[0])))
    return float(np.hypot(*at[i]) / np.hypot(*(p - corner)))


def hip_jump(block: Block) -> float:
    """Greatest jump of curvature of the outseams at the hip line, per mm."""
    found = 0.0
    for panel in (block.front, block.back):
        y = panel.hip_y
        for i, (one, two) in enumerate(pairwise(panel.outseam.cubics)):
            if abs(one[3, 1] - y) < 1.0 and len(two):
                jump = _curvature(panel.outseam, i + 1 - 1e-6)
                found = max(found, abs(jump - _curvature(panel.outseam, i + 1 + 1e-6)))
    return found


def _lean(path: Path, ys: Floats) -> Floats:
    p = chords(path)[0]
    if p[0, 1] > p[-1, 1]:
        p = p[::-1]
    x = np.interp(ys + 1.0, p[:, 1], p[:, 0]) - np.interp(ys - 1.0, p[:, 1], p[:, 0])
    return np.degrees(np.arctan2(x, 2.0))


def seam_angles(block: Block) -> tuple[float, float]:
    """Greatest difference of the leans of the two edges of a seam, degrees, below the fork: where
    the leg widens, and elsewhere.
    """
    low = max(p.inseam.start[1] for p in (block.front, block.back))
    ys = np.linspace(-100.0, low + 10.0, 40)
    f, b = block.front, block.back
    both = np.stack(
        [_lean(getattr(f, e), ys) - _lean(getattr(b, e), ys) for e in ("inseam", "outseam")]
    )
    opens = _lean(f.inseam, ys) + _lean(b.inseam, ys) < -0.2
    worst = np.abs(both).max(axis=0)
    return float(worst[opens].max(initial=0.0)), float(worst[~opens].max(initial=0.0))


def narrowing(block: Block) -> float:
    """By how much a panel gets narrower below the crotch line at most, mm."""
    low = max(p.inseam.start[1] for p in (block.front, block.back))
    ys = np.linspace(-5.0, low + 5.0, 40)
    most = 0.0
    for panel in (block.front, block.back):
        i, o = ((p if p[0, 1] < p[-1, 1] else p[::-1]) for p in
                (chords(panel.inseam)[0], chords(panel.outseam)[0]))  # fmt: skip
        w = np.interp(ys, i[:, 1], i[:, 0]) - np.interp(ys, o[:, 1], o[:, 0])
        most = max(most, float((np.maximum.accumulate(w) - w).max()))
    return most


@dataclass(slots=True)
class Seen:
    """What was measured on the drafts of some people in one style, one number a draft."""

    drafted: int = 0
    refused: list[str] = field(default_factory=list)
    numbers: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    #: strain less the fit's intention, from 60 mm below the crotch line to where the foot decides
    even: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))


def judge(bodies: Sequence[Body], leg: str, fit: str, stretch: float) -> Seen:
    """Draft people and measure."""
    seen = Seen()
    for body in bodies:
        m = complete(body)
        try:
            block = build_block(m, fabric_of(stretch), style_of(leg, fit))
        except OutseamError as e:
            seen.refused.append(("style: " if isinstance(e, InputError) else "") + str(e))
            continue
        seen.drafted += 1
        for key, value in figures(block, m, leg).items():
            seen.numbers[key].append(value)
        evenness(seen, block, m)
    return seen


def figures(block: Block, m: Measures, leg: str) -> dict[str, float]:
    """Every number of one draft."""
    p, means = block.solution.params, block.solution.means
    lean = inseam_lean_deg(block)
    profile = profile_of(block, m)
    on = profile.legs
    over = profile.strain[on] - block.ease.wear_strain
    quarter = 0.75 * m.knee_height + 0.25 * m.inside_leg
    width = float(leg_widths(block, np.array([quarter - block.crotch_line_height_mm]))[0])
    front, back = length(block.front.crotch), length(block.back.crotch)
    want = (m.front_crotch_length - m.back_crotch_length) * (front + back) / m.crotch_length
    r = radii(block)
    start = block.stations[0]
    return {
        "drop": p.drop,
        "off fit": p.drop - block.ease.fit.drop_mm,
        "forks": p.front_fork + p.back_fork,
        "ratio": p.back_fork / p.front_fork,
        "front raise": p.front_raise,
        "back raise": p.back_raise,
        "slant": p.slant,
        "slant mean": means.slant,
        "lean front": lean["front"],
        "lean back": lean["back"],
        "over wear": float(over.max()),
        "three quarters": float(profile_at(m, quarter)) / width - 1.0,
        "half missed": abs(front - back - want) / 2.0,
        "half off": (front - back - want) / 2.0,
        "crotch off": abs(front + back - block.crotch_target_mm),
        "inseam off": abs(
            length(block.front.inseam) - length(block.back.inseam) - block.inseam_ease_mm
        ),
        "radius ratio": max(r) / min(r),
        "bisector": bisector_share(block),
        "wavy waist": float(wavy_waist(block)) if m.waist < 0.95 * m.hip else math.nan,
        "hip jump": hip_jump(block),
        "angle, opening": seam_angles(block)[0],
        "angle": seam_angles(block)[1],
        "narrowing": narrowing(block) if leg == "palazzo" else 0.0,
        "thigh": block.thigh_mm - m.thigh * (1.0 + block.ease.thigh_ratio),
        "start": start.girth_mm - float(profile_at(m, start.height_mm))
        * (1.0 + min(block.ease.thigh_ratio, block.ease.limb_ratio)),
    }  # fmt: skip


def profile_at(m: Measures, height: float) -> Floats:
    """Girth of the body at a height."""
    from outseam.draft.body.limb import limb_of

    return limb_of(m).at(height)


def evenness(seen: Seen, block: Block, m: Measures) -> None:
    """Note how far a close leg's strain lies from the fit's intention, every 20 mm."""
    ease = block.ease
    profile = profile_of(block, m)
    foot = 1.02 * m.foot / (1.0 + ease.pull_strain)
    low, high = m.knee_height + 35.0, m.inside_leg - 15.0
    down = profile.crotch_line - profile.heights
    t = np.clip((profile.heights - low) / (high - low), 0.0, 1.0)
    ratio = ease.limb_ratio + (ease.thigh_ratio - ease.limb_ratio) * t * t * (3.0 - 2.0 * t)
    off = profile.strain + ratio / (1.0 + ratio)
    for d, x, girth in zip(down, off, profile.body * (1.0 + ratio), strict=True):
        if d >= 59.0 and girth > foot:
            seen.even[int(d // 20)].append(float(x))


def share(values: Sequence[float], low: float, high: float) -> float:
    """Share of values inside two limits."""
    v = np.array(values)
    return float(((v >= low) & (v <= high)).mean())


def pct(values: Sequence[float], q: float) -> float:
    """A percentile."""
    return float(np.percentile(values, q))


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table."""

    what: str
    who: str
    asked: str
    measured: str
    good: bool


def lines(seen: dict[tuple[str, str, str, str, float], Seen]) -> Iterator[Line]:
    """Yield what is asked beside what was measured, style by style."""
    for (build, way, leg, fit, stretch), s in seen.items():
        who = f"{build}, {way}, {leg}, {fit} {stretch:.0%}"
        n, total = s.numbers, s.drafted + len(s.refused)
        unsolved = [r for r in s.refused if not r.startswith("style")]
        yield Line("infeasible", who, "0", f"{len(unsolved)} of {total}", not unsolved)
        if leg == "flare from thigh":
            yield Line("refused", who, "few", f"{len(s.refused)} of {total}", True)
        off = max(max(n["crotch off"]), max(n["inseam off"]))
        yield Line("seams off, mm", who, "0.05", f"{off:.3f}", off <= 0.05)
        lean = [pct(n[k], 95) for k in ("lean front", "lean back")]
        yield Line("inseam lean 95 %", who, "30", f"{lean[0]:.1f} {lean[1]:.1f}", max(lean) <= 30.0)
        over = share(n["over wear"], 0.002, 9.0)
        yield Line("over wear limit", who, ".03", f"{over:.3f}", over <= 0.03)
        q = [pct(n["three quarters"], x) for x in (5, 50, 95)]
        yield Line("strain, 3/4 to knee", who, "", " ".join(f"{x:.3f}" for x in q), True)
        if leg == "close":
            rows = {20 * d: float(np.median(v)) for d, v in sorted(s.even.items()) if len(v) > 20}
            worst = max(map(abs, rows.values()), default=0.0)
            yield Line("evenness", who, ".03", f"{worst:.3f}", worst <= 0.03 or fit != "close")
            told = " ".join(f"{d}:{100 * x:.1f}" for d, x in rows.items())
            yield Line("by depth", who, "", told, True)
        if leg == "palazzo":
            worst = max(n["narrowing"])
            yield Line("panel narrows, mm", who, "0", f"{worst:.2f}", worst <= 0.1)
        wide = leg not in ("close", "slim", "straight")
        for what, limit in (("angle, opening", 1.0 if wide else 2.5), ("angle", 2.5)):
            angle = pct(n[what], 95)
            yield Line(f"seam {what}, 95 %", who, f"{limit}", f"{angle:.2f}", angle <= limit)
        jump, most = pct(n["hip jump"], 95), 0.007 if leg in ("close", "slim") else 0.004
        yield Line("curvature jump, 95 %", who, f"{most}", f"{jump:.4f}", jump <= most)
        waves, most = float(np.nanmean(n["wavy waist"])), 0.15 if fit == "close" else 0.05
        yield Line("waist edge an S", who, f"{most}", f"{waves:.3f}", waves <= most)
        ratio = max(n["radius ratio"])
        yield Line("radius ratio", who, "2", f"{ratio:.2f}", ratio <= 2.0)
        bis = [pct(n["bisector"], x) for x in (5, 50, 95)]
        yield Line(
            "back curve, bisector", who, ".30-.40", " ".join(f"{x:.2f}" for x in bis),
            bis[0] >= 0.295 and bis[2] <= 0.405,
        )  # fmt: skip
        if leg in ("close", "slim", "straight", "palazzo"):
            yield from _depth(who, build, way, fit, n)


def _depth(who: str, build: str, way: str, fit: str, n: dict[str, list[float]]) -> Iterator[Line]:
    if way != "four":
        mid = float(np.median(n["off fit"]))
        yield Line("drop, median off the fit", who, "5", f"{mid:.1f}", abs(mid) <= 5.0)
        near = share(n["off fit"], -12.0, 12.0)
        yield Line("drop within 12 of the fit", who, ".94", f"{near:.3f}", near >= 0.94)
    raised = share(n["back raise"], 20.0, 50.0)
    least = 0.9 if build == "women" else 0.8
    yield Line("back raise 2-5 cm", who, f"{least}", f"{raised:.3f}", raised >= least)
    ratio = share(n["ratio"], 1.3 - 1e-6, 3.0 + 1e-6)
    yield Line("fork ratio 1.3-3", who, ".99", f"{ratio:.3f}", ratio >= 0.99)
    if way == "halves":
        miss = [pct(n["half missed"], x) for x in (50, 95)]
        good = miss[0] <= 10.0 and miss[1] <= 30.0
        yield Line("front half missed", who, "10 30", f"{miss[0]:.1f} {miss[1]:.1f}", good)
    told = " ".join(
        f"{k} {pct(n[k], 5):.3g}/{pct(n[k], 50):.3g}/{pct(n[k], 95):.3g}"
        for k in (
            "drop",
            "forks",
            "ratio",
            "front raise",
            "back raise",
            "slant",
            "thigh",
            "half off",
        )
    )
    yield Line("spread", who, "", told, True)


def cases(count: int, quick: bool) -> Iterator[tuple[tuple[str, str, str, str, float], list[Body]]]:
    """Yield every style with the people it is judged on."""
    for way in ("full", "halves", "four"):
        for build in BUILDS:
            found = people(build, way, count)
            for leg in LEGS:
                if quick and way != "full" and leg not in ("close", "straight", "palazzo"):
                    continue
                for fit in FIT_NAMES:
                    for stretch in STRETCHES[fit]:
                        yield (build, way, leg, fit, stretch), found
    for build in BUILDS:
        real = [b for b in real_people() if b.build == build]
        for leg in LEGS:
            for fit in FIT_NAMES:
                yield (build, "four", leg, fit, STRETCHES[fit][0]), real[:: 2 if quick else 1]


def main() -> int:
    """Print the table; return 1 if an asked figure is missed."""
    parser = argparse.ArgumentParser(description="Judge the block on people.")
    parser.add_argument("--people", type=int, default=200)
    parser.add_argument("--quick", action="store_true", help="fewer styles")
    parser.add_argument("--missed", action="store_true", help="only what is missed, and spreads")
    args = parser.parse_args()
    missed = 0
    with ProcessPoolExecutor(2) as pool:
        asked = cases(args.people, args.quick)
        jobs = [(key, pool.submit(judge, who, *key[2:])) for key, who in asked]
        for key, job in jobs:
            for line in lines({key: job.result()}):
                missed += not line.good
                if args.missed and line.good and line.what != "spread":
                    continue
                verdict = "" if not line.asked else "ok" if line.good else "MISSED"
                told = f"{line.what:26} {line.who:44} {line.asked:8} {line.measured}"
                print(f"{told}  {verdict}", flush=True)
    print(f"\n{missed} asked figures missed" if missed else "\nall asked figures met")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
