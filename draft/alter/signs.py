"""What a trial can show, what it usually means, and what to change: one line each.

Common practice, no source, unless a rule names one. Amounts are where to start, not where to end.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from outseam.draft.alter import Alteration, alteration_named
from outseam.draft.fits import ease_for, fit_named

View = Literal["front", "back", "side"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """Something a person can see on a trial.

    `look` is what it looks like from the side named by `view`, `means` what it usually means,
    `change` what to try first. `alteration` is the one to enter, "" where measuring again is all
    that helps; `begin_mm` the amount to begin with where it is not the alteration's own. `called`
    is how people call the sign besides, in everyday words (common practice, no source), by commas.
    """

    key: str
    where: str
    view: View
    look: str
    means: str
    change: str
    called: str = ""
    alteration: str = ""
    begin_mm: float | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Its key, and what else it is called."""
        return (self.key, *filter(None, self.called.split(", ")))

    @property
    def start_mm(self) -> float:
        """The amount to begin with, 0 without an alteration."""
        own = 0.0 if self.alters is None else self.alters.start_mm
        return own if self.begin_mm is None else self.begin_mm

    @property
    def alters(self) -> Alteration | None:
        """The alteration to enter, if there is one."""
        return alteration_named(self.alteration) if self.alteration else None


def _apart(looser: str, closer: str, stretch: float) -> str:
    """Return what one fit has less round a hip of a metre than another, in per cent."""
    a, b = (ease_for(fit_named(name), stretch, 1000.0).hip_ratio for name in (looser, closer))
    return f"{100.0 * (a - b):.2g} %"


#: A size down is about 4 cm of a hip of a metre (common practice, no source).
_SIZE_DOWN = (
    "measure the hip again. A size down is about 4 % less all round; style.fit does that: in a "
    f"knit of 50 % stretch easy is {_apart('loose', 'easy', 0.5)} of the hip closer than loose, "
    f"close {_apart('easy', 'close', 0.5)} closer than easy; in a woven easy is "
    f"{_apart('loose', 'easy', 0.0)} closer than loose"
)

SIGNS: tuple[Sign, ...] = (
    Sign(
        key="hip line dips at the back",
        where="hip balance line",
        view="side",
        look="the hip line sinks toward the centre back, and the top edge is pulled down with it",
        means="the seat needs more length than the draft gives it",
        change="measure the back crotch length again; if the top edge stays, see the next sign",
        called="hip dips at the back",
        alteration="full seat",
    ),
    Sign(
        key="hip line dips, waist stays",
        where="hip balance line",
        view="side",
        look="the hip line sinks toward the centre back, but the top edge sits where it should",
        means="there is more length above the hip line than the body fills: a flatter seat",
        change="pin a fold above the hip line until it is level; just below the band: a sway back",
        called="hip dips waist stays",
        alteration="flat seat",
    ),
    Sign(
        key="hip line rises at the back",
        where="hip balance line",
        view="side",
        look="the hip line climbs toward the centre back, and the top edge stands up with it",
        means="there is more length over the seat than the body fills: a flatter seat",
        change="pin a fold across the seat and measure what it took",
        called="hip climbs at the back",
        alteration="flat seat",
    ),
    Sign(
        key="hip line rises, waist stays",
        where="hip balance line",
        view="side",
        look="the hip line climbs toward the centre back, but the top edge stays or strains down",
        means="the seat takes up more length than the draft gives it, and draws the line up",
        change="measure the back crotch length again",
        called="hip climbs waist stays",
        alteration="full seat",
    ),
    Sign(
        key="waist dips at the back",
        where="top edge",
        view="side",
        look="the top edge slides down at the back when you sit or bend",
        means="the back crotch seam is too short, or the band too loose to stay",
        change="if more length does not hold it, try a shorter elastic",
        called="slides down at the back, top dips at the back, back too short, seat too short, "
        "waist too low at the back, back rise too short",
        alteration="full seat",
        begin_mm=15.0,
    ),
    Sign(
        key="waist dips in front",
        where="top edge",
        view="side",
        look="the top edge is pulled down at the centre front, though the back sits well",
        means="the belly needs more length than the draft gives it",
        change="measure the front crotch length again",
        called="top dips at the front, front too short, belly too tight, slides under the "
        "belly, waist too low in front, waist slides down in front",
        alteration="full front",
    ),
    Sign(
        key="waist gapes in front",
        where="top edge",
        view="side",
        look="the centre front stands up and folds lie level below the band in front",
        means="there is more length over the belly than the body fills",
        change="pin the folds flat and measure what the pins took",
        called="gaps at the front, front waist gaps, front waist loose",
        alteration="flat front",
    ),
    Sign(
        key="folds below the back waist",
        where="back waist",
        view="back",
        look="level folds lie just below the band at the centre back",
        means="the back is hollow above the seat: a sway back",
        change="pin the folds flat and measure what the pins took",
        called="gaps at the back, waist gaps at the back, band gaps at the back, back waist "
        "too loose, folds under the band at the back",
        alteration="sway back",
    ),
    Sign(
        key="waist higher in front",
        where="top edge",
        view="side",
        look="the top edge is not level: it stands higher in front than at the back all round",
        means="the waist is tilted forward",
        change="mark where the top edge should be, in front and at the back",
        called="waist too high in front",
        alteration="waist tilted forward",
    ),
    Sign(
        key="waist higher at the back",
        where="top edge",
        view="side",
        look="the top edge is not level: it stands higher at the back than in front all round",
        means="the waist is tilted back",
        change="mark where the top edge should be, in front and at the back",
        called="waist too high at the back",
        alteration="waist tilted back",
    ),
    Sign(
        key="waist dips on one side",
        where="top edge",
        view="front",
        look="the top edge is pulled down over one hip, and folds slant across the front",
        means="that hip is higher than the other, so its side seam is too short",
        change="measure from waist to floor over each hip: alter by what they differ",
        called="one hip higher, waist lower on one side",
        alteration="hip higher",
    ),
    Sign(
        key="waist stands up on one side",
        where="top edge",
        view="front",
        look="the top edge stands off above one hip, and level folds lie below the band there",
        means="that hip is lower than the other, so its side seam is too long",
        change="pin the folds flat at the side and measure what the pins took",
        called="one hip lower, waist higher on one side",
        alteration="hip lower",
    ),
    Sign(
        key="smiles at the front crotch",
        where="front crotch",
        view="front",
        look="folds fan out upward from the crotch point, like a smile",
        means="the crotch is too shallow: the seam cuts in, front and back",
        change="measure crotch length and rise again",
        called="rides up, crotch rides up, crotch too tight, crotch too high, crotch cuts, "
        "crotch too short, smile at the front",
        alteration="deeper crotch",
    ),
    Sign(
        key="frowns at the front crotch",
        where="front crotch",
        view="front",
        look="folds hang downward beside the crotch, like a frown, and the crotch hangs low",
        means="the crotch is too deep",
        change="pin a fold level round the hip, above the crotch, and measure what it took",
        called="crotch too low, crotch too long, crotch hangs low, baggy crotch, "
        "frown at the front",
        alteration="shallower crotch",
    ),
    Sign(
        key="front crotch curve cuts in",
        where="front crotch",
        view="front",
        look="short pulls stand across the lower front crotch seam; the length is right",
        means="the front curve is too straight for the body",
        change="sew the curve deeper on the trial first",
        called="cuts at the front, tight at the front crotch",
        alteration="scooped front curve",
    ),
    Sign(
        key="front crotch curve is slack",
        where="front crotch",
        view="front",
        look="a soft bag lies across the lower front crotch seam; the length is right",
        means="the front curve is hollower than the body",
        change="pin the bag flat and measure what the pins took",
        called="baggy at the front, baggy at the front crotch",
        alteration="filled front curve",
    ),
    Sign(
        key="back crotch curve cuts in",
        where="back crotch",
        view="back",
        look="the centre back seam is drawn into the seat; the length is right",
        means="the back curve is too straight for the seat",
        change="sew the curve deeper on the trial first",
        called="cuts at the back, cuts into the seat",
        alteration="scooped back curve",
    ),
    Sign(
        key="back crotch curve is slack",
        where="back crotch",
        view="back",
        look="a soft bag hangs from the middle of the seat seam; the length is right",
        means="the back curve is hollower than the seat",
        change="pin the bag flat and measure what the pins took",
        called="baggy at the back, baggy at the back crotch",
        alteration="filled back curve",
    ),
    Sign(
        key="wrinkles under the seat",
        where="back thigh",
        view="back",
        look="slanting folds run from under the seat toward the side",
        means="the seat is flatter than drafted, or the back leg too tight over the thigh",
        change="measure the thigh again; it may be fuller",
        called="baggy under the seat, folds under the seat, sags under seat",
        alteration="flat seat",
    ),
    Sign(
        key="tight across the thigh",
        where="thigh balance line",
        view="front",
        look="the fabric pulls flat and level across the thigh; the mid-thigh line strains upward",
        means="the thigh is fuller than measured or estimated",
        change="measure the thigh again; open the inseam of the trial and see how far it parts",
        called="thigh too tight, thigh cuts",
        alteration="full thigh",
    ),
    Sign(
        key="slack inside the thigh",
        where="inseam",
        view="front",
        look="upright folds hang along the inseam from the crotch to above the knee",
        means="the thigh is slimmer than measured or estimated",
        change="pin the folds flat along the inseam and measure what the pins took",
        called="baggy thigh, thigh too wide",
        alteration="slim thigh",
    ),
    Sign(
        key="tight across the seat",
        where="back hip",
        view="back",
        look="level pulls lie across the seat from side to side; the front is easy",
        means="the seat is wider than the draft gives it, though the hip as a whole may be right",
        change="open the outseams of the trial at the hip and see how far they part",
        called="seat too tight, tight across the seat",
        alteration="wide seat",
    ),
    Sign(
        key="loose across the seat",
        where="back hip",
        view="back",
        look="upright folds hang over the seat; the front lies right",
        means="the seat is narrower than the draft gives it",
        change="pin the folds flat at both outseams and measure what one side took",
        called="seat too big",
        alteration="narrow seat",
    ),
    Sign(
        key="seat fuller on one side",
        where="back hip",
        view="back",
        look="level pulls lie across one half of the seat, and the outseam bows back on that side",
        means="that half of the seat is fuller than the other",
        change='enter it with side = "left" or side = "right", the side that pulls',
        called="one side of the seat too tight, one side fuller at the back",
        alteration="wide seat",
    ),
    Sign(
        key="thigh fuller on one side",
        where="thigh balance line",
        view="front",
        look="the fabric pulls level across one thigh, and lies right on the other",
        means="that thigh is fuller than the other",
        change='measure both; enter it with side = "left" or side = "right"',
        called="one thigh too tight, one thigh bigger",
        alteration="full thigh",
    ),
    Sign(
        key="loose all over",
        where="whole leg",
        view="front",
        look="hip, thigh and leg hang in upright folds; the top edge and the crotch sit right",
        means="a size, or a fit, too large all round",
        change=_SIZE_DOWN,
        called="too big, too wide, too loose, baggy all over",
    ),
    Sign(
        key="tight across the hip",
        where="hip balance line",
        view="front",
        look="level pulls across the hip, pocket mouths gape",
        means="the hip was taken too high or too tight",
        change="find the fullest level and measure again, or choose an easier fit",
        called="hip too tight",
    ),
    Sign(
        key="side seam swings forward",
        where="outseam",
        view="side",
        look="the outseam leans forward below the hip",
        means="the front is short of length over the belly and pulls the seam to itself",
        change="check that front and back crotch length were split at the crotch point",
        called="side twists forward",
        alteration="full front",
    ),
    Sign(
        key="side seam swings back",
        where="outseam",
        view="side",
        look="the outseam leans backward below the hip",
        means="the seat needs more length than the draft gives it",
        change="measure the back crotch length again",
        called="side twists back, side seam twists backwards",
        alteration="full seat",
    ),
    Sign(
        key="folds inside the knee",
        where="crease line",
        view="front",
        look="folds point to the inside of the knee; the crease line stands outside it",
        means="knock knees: the leg bends inward against the draft",
        change="pin the leg until the crease line hangs plumb over the knee",
        alteration="knock knees",
    ),
    Sign(
        key="folds outside the knee",
        where="crease line",
        view="front",
        look="folds point to the outside of the knee; the crease line stands inside it",
        means="bow legs: the leg bends outward against the draft",
        change="pin the leg until the crease line hangs plumb over the knee",
        alteration="bow legs",
    ),
    Sign(
        key="tight across the calf",
        where="calf",
        view="back",
        look="the fabric pulls flat and level across the calf, or catches on it when you stand up",
        means="the calf is fuller than drafted",
        change="measure the calf",
        called="calf too tight, catches on the calf",
        alteration="full calf",
    ),
    Sign(
        key="slack round the calf",
        where="calf",
        view="back",
        look="upright folds hang behind the calf on a leg that should lie close",
        means="the calf is slimmer than drafted",
        change="pin the folds flat and measure what the pins took",
        called="baggy calf, calf too wide",
        alteration="slim calf",
    ),
    Sign(
        key="knee too high",
        where="knee line",
        view="front",
        look="the knee line lies above the middle of the kneecap",
        means="the leg is longer from crotch to knee than measured or estimated",
        change="measure from the line to the kneecap",
        alteration="longer above the knee",
        begin_mm=10.0,
    ),
    Sign(
        key="knee too low",
        where="knee line",
        view="front",
        look="the knee line lies below the middle of the kneecap",
        means="the leg is shorter from crotch to knee than measured or estimated",
        change="measure from the line to the kneecap",
        alteration="shorter above the knee",
        begin_mm=10.0,
    ),
    Sign(
        key="hem too short",
        where="hem",
        view="front",
        look="the hem ends above where you want it, though the knee line lies right",
        means="the leg is longer from knee to hem than measured, or you like it longer",
        change="measure what is missing",
        called="too short, legs too short",
        alteration="longer below the knee",
    ),
    Sign(
        key="hem too long",
        where="hem",
        view="front",
        look="the hem breaks on the foot or drags, though the knee line lies right",
        means="the leg is shorter from knee to hem than measured, or you like it shorter",
        change="measure what is too much",
        called="too long, legs too long, drags",
        alteration="shorter below the knee",
    ),
    Sign(
        key="band slips",
        where="waistband",
        view="back",
        look="the band slides down when you walk, sit or bend",
        means="the elastic is too long",
        change="try on the elastic alone",
        called="slides down, waist slides, falls down, band too loose, waist too wide",
        alteration="tighter band",
    ),
    Sign(
        key="band cuts",
        where="waistband",
        view="back",
        look="the band leaves a mark after ten minutes",
        means="the elastic is too short",
        change="try on the elastic alone",
        called="waist cuts in, band too tight, waist too tight, band digs in",
        alteration="looser band",
    ),
)

SIGN_KEYS = tuple(s.key for s in SIGNS)


def sign_named(key: str) -> Sign:
    """Return the sign of that key; raises KeyError."""
    for one in SIGNS:
        if one.key == key:
            return one
    raise KeyError(key)


def sign_of(alteration: str) -> Sign:
    """Return what stands for an alteration that is asked for by its name; raises KeyError."""
    one = alteration_named(alteration)
    first = next(s for s in SIGNS if s.alteration == alteration)
    return replace(first, key=alteration, look=one.says, means=one.says)
