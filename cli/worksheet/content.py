"""What the worksheet says: sections of blocks, all figures taken from the pattern."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import zip_longest

from outseam.cli.document.blocks import (
    Blanks,
    BulletList,
    Document,
    DocumentBlock,
    Drawing,
    Facts,
    NoticeLevel,
    Notices,
    Paragraph,
    Section,
    Table,
)
from outseam.cli.pattern.drawing import pieces_to_print
from outseam.cli.pattern.leg_curve import SAYS as LEG_CURVE_SAYS
from outseam.cli.pattern.leg_curve import leg_scene
from outseam.cli.pattern.overview import pieces_scene, shows_stretch, size_of
from outseam.cli.pattern.strain_chart import rows as chart_rows
from outseam.cli.pattern.strain_chart import strain_scene
from outseam.cli.sewing.section import sewing
from outseam.cli.wording.findings import checks_told, finding_words
from outseam.cli.wording.report import moves_words
from outseam.cli.wording.sheet import (
    HOW_FINISHED,
    fabric_words,
    shrinkage_words,
    size_words,
    strain_words,
    style_facts,
    thread_words,
)
from outseam.cli.worksheet.fabric import fabric_blocks
from outseam.draft.alter import SIDES
from outseam.draft.buying.notions import (
    SPARE_RATIO,
    Materials,
    centre_seams,
    materials_of,
    separate_seams,
    times_sewn,
)
from outseam.draft.checks.pull_on import ELASTIC_STRETCH
from outseam.draft.checks.seams import measured_mm
from outseam.draft.fabric import ALONG_BORDER, EITHER_GRAIN, STRETCH_LIES
from outseam.draft.figures.finished import finished, finished_legs
from outseam.draft.figures.sensitivity import Effect
from outseam.draft.inputs.show import Units, per_cent, show_given, show_length, told_mm
from outseam.draft.inputs.text import capital, listing
from outseam.draft.lay.ways.quick import FabricLength
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Finding, Piece, Seam, Stretch

#: Two sides of a seam that differ by less are told as equal.
_EQUAL_MM = 0.5

#: A side that is this much longer than a fabric without stretch takes up is gathered, not eased
#: in (common practice, no source).
GATHER_RATIO = 0.08

#: With less room than this to spare, an opening only just passes.
_JUST_MM = 10.0


def _key(name: str) -> str:
    """Return a key as words."""
    return capital(name.replace("_", " "))


def _signed(mm: float, units: Units) -> str:
    return ("+" if mm >= 0.0 else "−") + show_length(abs(mm), units)


# --- the sections, in order -----------------------------------------------------------------------


def project(pattern: Pattern) -> Section:
    """Return the title block: who, what fabric, which style."""
    spec, m, u = pattern.spec, pattern.measures, pattern.spec.units
    given = [k for k in ("height", "waist", "hip", "inside_leg", "crotch_length") if k in m.given]
    body = ", ".join(f"{k.replace('_', ' ')} {show_length(getattr(m, k), u)}" for k in given)
    style = spec.style
    allowances = (
        f"seams {show_given(style.seam_allowance, u)}, "
        f"hem {show_given(style.hem_allowance, u)}; both are on the pattern already"
    )
    facts = (
        *([("for", spec.body.name)] if spec.body.name else []),
        ("measured", body),
        ("fabric", fabric_words(spec.fabric, u)),
        *style_facts(pattern),
        ("allowances", allowances),
    )
    return Section(
        key="project",
        title="Project",
        blocks=(Facts(rows=facts), Blanks(labels=("date", "sewn by", "what I changed"))),
    )


def _lay_words(pattern: Pattern, piece: Piece) -> str:
    """Return how a piece lies on the fabric and what is to be done with it."""
    stretches = pattern.spec.fabric.stretch_across_ratio > 0.0
    notes = [n for n in piece.notes if stretches or n not in STRETCH_LIES.values()]
    grain = f"{EITHER_GRAIN if piece.any_grain else 'grain'} along the selvedge"
    if any(n.startswith(tuple(ALONG_BORDER.values())) for n in notes):
        return "; ".join(notes)
    return "; ".join([grain, *notes])


def cutting(pattern: Pattern) -> Section:
    """Return what to cut: the picture and the list."""
    u = pattern.spec.units
    scene, scale = pieces_scene(pattern)
    rows = []
    for number, (drafted, printed) in enumerate(
        zip(pattern.pieces, pieces_to_print(pattern), strict=True), start=1
    ):
        size = size_of(drafted, printed)
        rows.append(
            (
                str(number),
                drafted.title,
                drafted.cut_note,
                _lay_words(pattern, drafted),
                size_words(*size.cut_mm, u),
                size_words(*size.finished_mm, u),
            )
        )
    stretches = shows_stretch(pattern.spec.fabric)
    key = "Solid line: cut. Dashed line: sew. Long dashes: fold. Arrow with black heads: "
    either = listing((p.title.lower() for p in pattern.pieces if p.any_grain), "and")
    key += pattern.spec.fabric.grain_says + (f" ({either}: {EITHER_GRAIN})." if either else ".")
    if stretches:
        key += " Dotted arrow: greatest stretch."
    shrink = shrinkage_words(pattern.spec.fabric)
    return Section(
        key="cut",
        title="What to cut",
        blocks=(
            Drawing(
                name="pieces",
                scene=scene,
                caption=f"All pieces at 1 : {scale}, allowances included. {key}",
            ),
            Table(
                head=("", "piece", "cut", "on the fabric", "as cut", "finished"),
                rows=tuple(rows),
                shares=(0.04, 0.15, 0.14, 0.28, 0.195, 0.195),
                right=(4, 5),
            ),
            Paragraph(
                text="Sizes are the largest extent across × along the grain. Finished means sewn, "
                "folded and turned in, before anything is stretched or gathered."
                + (f" {shrink}" if shrink else ""),
                small=True,
            ),
        ),
    )


def _of_legs(legs: Sequence[float | None], units: Units) -> str:
    """Return a measurement in words, left leg first where the legs differ."""
    told = ["" if mm is None else show_length(mm, units) for mm in legs]
    if len(set(told)) == 1:
        return told[0]
    only = " only" if "" in told else ""
    return ", ".join(f"{t} {side}{only}" for t, side in zip(told, SIDES, strict=True) if t)


def measurements(pattern: Pattern) -> Section:
    """Return the finished measurements."""
    told = [
        (_key(name), _of_legs(legs, pattern.spec.units), HOW_FINISHED.get(name, ""))
        for name, legs in finished_legs(pattern).items()
        if not (name == "band_height" and legs[0] == 0.0)
    ]
    half = (len(told) + 1) // 2
    rows = tuple((*a, *b) for a, b in zip_longest(told[:half], told[half:], fillvalue=("", "", "")))
    return Section(
        key="finished",
        title="Finished measurements",
        blocks=(
            Table(
                head=("measure", "finished", "how it is taken") * 2,
                rows=rows,
                shares=(0.14, 0.115, 0.245) * 2,
                right=(1, 4),
            ),
        ),
    )


def strain(pattern: Pattern) -> Section:
    """Return the strain chart and its numbers."""
    u, ease = pattern.spec.units, pattern.block.ease
    rows = tuple(
        (
            capital(r.level.name),
            show_length(r.level.body_mm, u),
            show_length(r.level.pattern_mm, u),
            _signed(told_mm(r.level.pattern_mm, u) - told_mm(r.level.body_mm, u), u),
            show_length(r.wear_mm, u),
            show_length(r.pull_mm, u),
            capital(strain_words(r.level, ease, u)),
        )
        for r in chart_rows(pattern)
    )
    gives = (
        f"This fabric wears well stretched up to {per_cent(ease.wear_strain)} and gives "
        f"{per_cent(ease.pull_strain)} for the moment of pulling on: half and four fifths of the "
        "stretch you measured."
        if ease.pull_strain > 0.0
        else "This fabric gives nothing. All room has to be in the pattern."
    )
    which = "one leg" if pattern.legs is None else "the left leg"
    return Section(
        key="strain",
        title="Strain: body, pattern and fabric",
        blocks=(
            Paragraph(text=f"{gives} Thigh and below are girths of {which}."),
            Drawing(name="strain", scene=strain_scene(pattern)),
            Paragraph(text=LEG_CURVE_SAYS),
            Drawing(name="leg", scene=leg_scene(pattern)),
            Table(
                head=("level", "body", "pattern", "ease", "wears to", "pulls to", "in words"),
                rows=rows,
                shares=(0.12, 0.11, 0.11, 0.11, 0.11, 0.11, 0.33),
                right=(1, 2, 3, 4, 5),
            ),
        ),
    )


def _verdict(spare_mm: float, passed: bool, units: Units) -> str:
    """Return whether an opening passes and what is to spare."""
    if not passed:
        return f"does not pass, {show_length(abs(spare_mm), units)} short"
    if spare_mm < _JUST_MM:
        return "only just passes: try it early"
    return f"passes, {show_length(spare_mm, units)} to spare"


def _opening_row(pattern: Pattern, finding: Finding) -> tuple[str, ...]:
    """Return what a check of an opening found: opening, what passes, girths, verdict."""
    u, band = pattern.spec.units, pattern.band
    over = "hip" if finding.check == "goes over the hip" else "heel and instep"
    if finding.unit == "ratio" and band.elastic_mm is not None:
        body, rest = pattern.measures.hip, band.elastic_mm
        opened = band.elastic_mm * (1.0 + ELASTIC_STRETCH)
        verdict = (
            f"has to stretch {per_cent(finding.measured)}; most elastics give "
            f"about {per_cent(finding.expected)}"
        )
    else:
        body = pattern.measures.hip if over == "hip" else pattern.measures.foot
        opened, sizes = finding.measured, finished(pattern)
        above_slit = opened / (1.0 + pattern.block.ease.pull_strain)
        rest = sizes[finding.about[0]] if finding.about else above_slit
        verdict = _verdict(opened - body, finding.level == "pass", u)
    girths = (show_length(mm, u) for mm in (body, rest, opened))
    return (capital(finding.where), over, *girths, verdict)


def pulling_on(pattern: Pattern) -> Section:
    """Return whether hip and foot pass, with numbers."""
    u = pattern.spec.units
    rows = [
        _opening_row(pattern, finding)
        for finding in pattern.findings
        if finding.check in ("goes over the hip", "foot goes through")
    ]
    foot = pattern.measures.estimate("foot")
    blocks: list[DocumentBlock] = [
        Table(
            head=("opening", "has to pass", "girth", "at rest", "opened", "verdict"),
            rows=tuple(rows),
            shares=(0.18, 0.15, 0.11, 0.11, 0.11, 0.34),
            right=(2, 3, 4),
        )
    ]
    if foot is not None:
        blocks.append(
            Paragraph(
                text=f"Heel and instep were estimated, ± {show_length(foot.sd_mm, u)}. Put a tape "
                "round yours, over the heel and the top of the foot, before you trust a close hem.",
                small=True,
            )
        )
    return Section(key="pull-on", title="Will they go on?", blocks=tuple(blocks))


def _elastic_words(found: Materials, u: Units) -> str:
    """Return what elastic is needed, if any."""
    e = found.elastic
    if e is None:
        return "none: the band holds by itself"
    return (
        f"{show_given(e.width_mm, u)} wide. Joined it goes round {show_length(e.length_mm, u)}; "
        f"with {show_given(e.overlap_mm, u)} overlap cut {show_length(e.cut_mm, u)}. Pin it round "
        "your waist where the band will sit before sewing it: it should hold without leaving a "
        "mark."
    )


def _thread_table(found: Materials, u: Units) -> Table:
    """Return how much thread each kind of stitch takes."""
    return Table(
        head=("stitch", "class", "for", "seam", "thread per seam", "thread"),
        rows=tuple(
            (
                capital(t.stitch.says),
                t.stitch.number,
                ", ".join(t.lines),
                show_length(t.seam_mm, u),
                f"{t.stitch.thread_ratio:g} ×",
                thread_words(t.thread_mm, u),
            )
            for t in found.thread
        ),
        shares=(0.22, 0.08, 0.34, 0.12, 0.12, 0.12),
        right=(3, 4, 5),
    )


def materials(pattern: Pattern, fabric: FabricLength | None) -> Section:
    """Return what to have at hand. `fabric`: how much of it, None where nothing was laid."""
    u, found = pattern.spec.units, materials_of(pattern)
    cloth, blocks = fabric_blocks(pattern, fabric)
    facts = (
        *cloth,
        ("elastic", _elastic_words(found, u)),
        ("needle", f"{found.needle}; a fresh one"),
    )
    return Section(
        key="materials",
        title="Materials",
        blocks=(
            Facts(rows=facts),
            *blocks,
            _thread_table(found, u),
            Paragraph(
                text=f"Thread includes {per_cent(SPARE_RATIO)} to spare and is all cones or spools "
                "of a stitch together. Multiples are common practice, not measured here; yours may "
                "differ by a fifth. Class numbers are those of ASTM D6193.",
                small=True,
            ),
            BulletList(items=found.stitches),
        ),
    )


def ease_words(pattern: Pattern, seam: Seam, a_mm: float, b_mm: float) -> str:
    """Return what to do with a seam whose sides differ on purpose."""
    u, off = pattern.spec.units, a_mm - b_mm
    if abs(off) < _EQUAL_MM:
        return "equal"
    short, long = (seam.b, seam.a) if off > 0.0 else (seam.a, seam.b)
    share, by = abs(off) / min(a_mm, b_mm), show_length(abs(off), u)
    if share <= pattern.block.ease.pull_strain:
        return f"stretch the {pattern.piece(short.piece).title.lower()} by {by} ({per_cent(share)})"
    how = "gather" if share > GATHER_RATIO else "ease in"
    return f"{how} the {pattern.piece(long.piece).title.lower()} by {by} ({per_cent(share)})"


def _side(pattern: Pattern, s: Stretch) -> str:
    times = f"{s.times} × " if s.times > 1 else ""
    return f"{times}{pattern.piece(s.piece).title.lower()}, {s.edge.replace('_', ' ')}"


def seams(pattern: Pattern) -> Section:
    """Return which edges join, how long each is and what differs on purpose."""
    u = pattern.spec.units
    rows = []
    for seam, separate in separate_seams(pattern):
        a, b = measured_mm(pattern, seam.a), measured_mm(pattern, seam.b)
        count = times_sewn(pattern, seam)
        rows.append(
            (
                capital(seam.says),
                f"{count} ×" if separate else "caught in",
                _side(pattern, seam.a),
                show_length(a, u),
                _side(pattern, seam.b),
                show_length(b, u),
                ease_words(pattern, seam, a, b),
            )
        )
    for piece, mm in centre_seams(pattern):
        edge = f"{piece.title.lower()}, crotch"
        told = show_length(mm, u)
        other = f"{edge}, mirrored"
        if piece.side == "right":
            continue
        if piece.side:
            other = edge.replace("left", "right")
        rows.append((f"Centre {piece.part}", "1 ×", edge, told, other, told, "equal"))
    return Section(
        key="seams",
        title="Seams",
        blocks=(
            Paragraph(
                text="From mark to mark, lengths on the sewing line. “Caught in” is stitched "
                "together with another seam of the same edge."
            ),
            Table(
                head=("seam", "sewn", "this edge", "length", "to this edge", "length", "ease"),
                rows=tuple(rows),
                shares=(0.15, 0.09, 0.185, 0.1, 0.185, 0.1, 0.19),
                right=(3, 5),
            ),
        ),
    )


def findings(pattern: Pattern) -> Section:
    """Return what the checks say, in plain words, and how many passed."""
    u = pattern.spec.units
    levels: tuple[NoticeLevel, ...] = ("error", "warning", "note")
    told = [
        (level, finding_words(f, u))
        for level in levels
        for f in pattern.findings
        if f.level == level
    ]
    told += [("note", capital(n)) for n in pattern.measures.notes]
    passed = Counter(f.check for f in pattern.findings if f.level == "pass")
    count = f"Checks: {checks_told(pattern.findings)}"
    listed = ", ".join(f"{name} ({n})" for name, n in passed.items())
    head = f"{count}: {listed}."
    blocks: tuple[DocumentBlock, ...] = (
        (Notices(items=tuple(told)), Paragraph(text=head, small=True))
        if told
        else (Paragraph(text="Nothing to question."), Paragraph(text=head, small=True))
    )
    return Section(key="findings", title="What the checks say", blocks=blocks)


def estimates(pattern: Pattern, effects: Sequence[Effect]) -> Section:
    """Return what was not measured, how sure it is and what it would move."""
    u, assumed = pattern.spec.units, pattern.spec.fabric.assumed
    blocks: list[DocumentBlock] = []
    if effects:
        blocks += [
            Paragraph(
                text="Measure what moves most first. About two people in three lie within the ±; "
                "the last column says what would move if you are that far off."
            ),
            Table(
                head=("measure", "estimate", "±", "would move"),
                rows=tuple(
                    (
                        _key(e.estimate.name),
                        show_length(e.estimate.mm, u),
                        f"± {show_length(e.estimate.sd_mm, u)}",
                        moves_words(e, u),
                    )
                    for e in effects
                ),
                shares=(0.3, 0.17, 0.15, 0.38),
                right=(1, 2),
            ),
        ]
    else:
        blocks.append(
            Paragraph(text="Every measurement of the body was taken. Nothing is a guess.")
        )
    fabric = [a.replace("_", " ") for a in assumed if a != "width"]
    if fabric:
        blocks.append(
            Paragraph(
                text=f"Not known of the fabric: {' and '.join(fabric)}. A cautious value was used.",
            )
        )
    return Section(key="estimates", title="Estimated, not measured", blocks=tuple(blocks))


CAUTIONS = (
    "Sew a short trial in cheap fabric first. Estimates come from a survey of fit adults; they do "
    "not hold for children or in pregnancy.",
    "Try the elastic on before you sew it in, sitting too. One that leaves a deep mark or numbs is "
    "too short, whatever the sheet says.",
    "Rotary cutters, needles and irons injure. Close the cutter whenever you put it down, keep "
    "fingers off the needle's path, and switch the iron off when you leave it.",
    "A hem that touches the floor trips people, on stairs above all. Walk a stair in the trial "
    "before you cut the length.",
    "Children's nightwear is regulated for flammability by local rules. This sheet does not cover "
    "it.",
)


def cautions() -> Section:
    """Return the cautions."""
    return Section(key="cautions", title="Take care", blocks=(BulletList(items=CAUTIONS),))


def worksheet_content(
    pattern: Pattern, effects: Sequence[Effect], *, fabric: FabricLength | None = None
) -> Document:
    """Return the whole worksheet of a pattern; `effects` as `estimate_effects` gives them.

    `fabric` is how much of it a lay takes; without one a place to write it is left.
    """
    spec = pattern.spec
    lay = None if fabric is None else fabric.lay
    unit = {"cm": "centimetres", "mm": "millimetres", "in": "inches"}[spec.units]
    return Document(
        title=spec.title or "Pants",
        lead=f"Worksheet for pull-on pants. Lengths in {unit}.",
        paper=spec.home_paper,
        sections=(
            project(pattern),
            cutting(pattern),
            measurements(pattern),
            strain(pattern),
            pulling_on(pattern),
            materials(pattern, fabric),
            seams(pattern),
            findings(pattern),
            estimates(pattern, effects),
            cautions(),
            sewing(pattern, fold_mm=None if lay is None else lay.fold_mm),
        ),
    )
