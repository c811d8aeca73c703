"""The measuring sheet: how to take every body measurement, with pictures, as one HTML page.

Adding a measurement is adding one `HowTo` to `HOW_TO`; its picture is a function of
`outseam.cli.measure.drawings`. Words that hold a length carry it in both units, as "[2.5 cm|1 in]";
"{±}" stands for the spread of the estimate that takes the place of the measurement when only
the required ones are given, "{± navel}" for the same once the height of the waist over the navel
is known too. The spreads are asked of `body.estimate`, so that the sheet says what the draft does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Final, Literal

from outseam.cli.document.html import render_page
from outseam.cli.measure import drawings
from outseam.cli.scene.scene import Scene
from outseam.draft.body.estimate import complete
from outseam.draft.body.population import BUILDS, Build
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import in_system, show_eighths

Need = Literal["required", "one of three", "if you can", "useful"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HowTo:
    """How one measurement is taken.

    `key` is its name in the file and of its picture, `need` how much it matters, `left_out` what
    happens without it where that is not what usually does, `estimate` the measure of
    `outseam.draft.body.measures` that is estimated in its place, if that has another name.
    """

    key: str
    name: str = ""
    tape: str
    stand: str
    mistakes: str
    used_for: str
    left_out: str = ""
    need: Need = "useful"
    estimate: str = ""

    @property
    def title(self) -> str:
        """What it is called: its name, or its key as words."""
        return self.name or self.key.replace("_", " ").capitalize()

    @property
    def if_missing(self) -> str:
        """What happens where it is left out."""
        usual = "Nothing can be drafted." if self.need == "required" else "Estimated, {±}."
        return self.left_out or usual

    def drawing(self) -> Scene:
        """Return its picture: the function of its key."""
        draw: Callable[[], Scene] = getattr(drawings, self.key)
        return draw()


HOW_TO: tuple[HowTo, ...] = (
    HowTo(
        key="height",
        need="required",
        tape="From the floor up the wall to the underside of a book that lies flat on the head. "
        "Mark the wall under the book, step away, measure to the mark.",
        stand="Barefoot, heels, seat and shoulders at the wall, eyes straight ahead.",
        mistakes="Shoes or socks on, chin lifted, the book tipped up at the front.",
        used_for="It is never drawn. Every length you leave out is estimated from it, and it "
        "helps to find a tape that slipped.",
    ),
    HowTo(
        key="waist",
        need="required",
        tape="Over the elastic, level all round. Snug: the tape lies on the skin everywhere and "
        "dents it nowhere.",
        stand="Upright, weight on both feet, after breathing out. To find the waist, bend to "
        "one side: the elastic rolls into the crease.",
        mistakes="Belly held in; tape over a shirt; elastic riding up at the back. Where your "
        "pants will sit does not matter here: you choose that later as the rise.",
        used_for="The top edge, the length of the elastic, the check that the pants pull on.",
    ),
    HowTo(
        key="waist_above_navel",
        need="if you can",
        tape="From the middle of the navel straight up to the middle of the elastic.",
        stand="As for the waist.",
        mistakes="Measured after the elastic has moved. If the elastic lies below the navel, "
        "write a minus in front.",
        used_for="It tells the estimates where your waist is: the survey behind them was taped "
        "level with the navel.",
        left_out="The usual distance is assumed, {±}. If yours differs by [2 cm|3/4 in], an "
        "estimated rise is wrong by [2 cm|3/4 in] and an estimated crotch length by "
        "[4 cm|1 1/2 in].",
    ),
    HowTo(
        key="hip",
        need="required",
        tape="Level round the largest girth over the seat. Slide it up and down until it reads "
        "most, then pin or mark that level: other measurements use it.",
        stand="Feet together, weight on both, pockets empty, one layer of underwear at most.",
        mistakes="Tape sagging at the back; measured at the hip bones, which is too high; pulled "
        "tight over the seat.",
        used_for="The width of front and back. No other girth matters as much.",
    ),
    HowTo(
        key="high_hip",
        tape="Mark [8 cm|3 1/8 in] straight down from the middle of the elastic, in front, at the "
        "sides and behind. Level round the body at these marks, over belly and hip bones.",
        stand="As for the hip, belly relaxed.",
        mistakes="Belly held in; the tape slipping down at the back; measured at the hip bones "
        "where they lie higher or lower than the marks.",
        used_for="A band that sits below the waist: how long its elastic is, and how far the "
        "fabric is stretched there.",
        left_out="Estimated between waist and hip, {±}. Take it for a mid or low rise.",
    ),
    HowTo(
        key="thigh",
        tape="Round one leg just below the seat fold, level, at the fullest there.",
        stand="Feet a little apart, weight on both legs. Measure both thighs, write the larger.",
        mistakes="Weight on the measured leg; the tape halfway to the knee; tape tilted.",
        used_for="The upper leg is never drafted narrower than this plus its ease.",
    ),
    HowTo(
        key="knee",
        tape="Round the middle of the kneecap.",
        stand="Leg straight but not locked.",
        mistakes="Taped above the kneecap, where the leg is fuller.",
        used_for="Close legs: is there room at the knee, also when you sit?",
    ),
    HowTo(
        key="calf",
        tape="Round the fullest part of the lower leg. Slide it until it reads most.",
        stand="Both feet flat, weight even.",
        mistakes="Standing on the toes, which swells the calf.",
        used_for="Close legs and short lengths that end near the calf.",
    ),
    HowTo(
        key="ankle",
        tape="Round the smallest part of the leg, just above the ankle bone.",
        stand="Foot flat on the floor.",
        mistakes="Taped over the bone.",
        used_for="Close hems and cuffs.",
    ),
    HowTo(
        key="foot",
        name="Foot, round heel and instep",
        tape="Round the back corner of the heel and over the top of the instep.",
        stand="Sitting, foot lifted, toes pointed as if slipping into a leg.",
        mistakes="Round the arch instead of the heel, which reads too small.",
        used_for="The check that the foot goes through a narrow hem.",
    ),
    HowTo(
        key="inside_leg",
        need="required",
        tape="Push a hard book upright between the legs, its top edge level, firmly up as far "
        "as it goes. The tape runs from that edge straight to the floor. It is the firm reading "
        "that is meant.",
        stand="Barefoot, upright, feet a hand apart, back to a wall; someone else reads.",
        mistakes="A tape held up by hand reads about [1 cm|3/8 in] less than the book does; the "
        "book tilted; looking down.",
        used_for="The length of the leg and the height of the crotch line.",
    ),
    HowTo(
        key="body_rise",
        name="Body rise, seated",
        need="one of three",
        tape="At the side, from the middle of the elastic straight down to the seat of the chair.",
        stand="Upright on a flat, hard seat, both feet on the floor, thighs level.",
        mistakes="A cushion; leaning back; tape bent round the hip instead of straight down.",
        used_for="The depth from waist to crotch line. Seated it comes out about [2 cm|3/4 in] "
        "deeper than waist height less inside leg; that is expected.",
        left_out="Taken from waist height or outside leg. With none of the three the height of "
        "the waist is estimated, {±}; if you know waist above navel, {± navel}.",
        estimate="waist_height",
    ),
    HowTo(
        key="outside_leg",
        need="one of three",
        tape="At the side from the middle of the elastic, over the fullest hip, then straight "
        "to the floor.",
        stand="Barefoot, upright, weight on both feet, arms crossed.",
        mistakes="Leaning over to look, which shortens the side; tape drawn in at the knee.",
        used_for="The height of the waist, once the curve of the hip is taken off.",
        left_out="See body rise.",
    ),
    HowTo(
        key="waist_height",
        need="one of three",
        tape="Hold a ruler level from the middle of the elastic; let the tape hang free from it "
        "to the floor.",
        stand="Barefoot, upright, weight on both feet.",
        mistakes="Ruler tipped; tape pressed against the hip: that is the outside leg.",
        used_for="The height of the waist without the curve of the hip.",
        left_out="See body rise.",
    ),
    HowTo(
        key="waist_to_hip",
        tape="At the side from the middle of the elastic down to the level of the hip tape.",
        stand="Upright, with the hip tape still in place.",
        mistakes="A hip level remembered instead of marked.",
        used_for="Where the side seam is widest: how steep the curve above the hip is.",
        left_out="Taken from hip height; without either, the hip height is estimated, {±}.",
        estimate="hip_height",
    ),
    HowTo(
        key="hip_height",
        tape="From the level of the hip tape straight to the floor.",
        stand="Barefoot, upright.",
        mistakes="Tape run down the leg instead of hanging straight.",
        used_for="The same level as waist to hip, from below. One of the two is enough; both "
        "show a slip.",
        left_out="Taken from waist to hip, or estimated, {±}.",
    ),
    HowTo(
        key="knee_height",
        tape="From the middle of the kneecap straight to the floor.",
        stand="Barefoot, leg straight but not locked.",
        mistakes="Taken at the lower edge of the kneecap.",
        used_for="Where the leg bends and a flare may start; the hem of a knee-length trial.",
    ),
    HowTo(
        key="crotch_length",
        need="if you can",
        tape="From the middle of the elastic in front, between the legs, up to the middle of the "
        "elastic behind. Snug, not tight: it touches everywhere and pulls nowhere.",
        stand="Upright, feet a little apart. Hold the tape in front, pass it through, let the "
        "helper read at the back.",
        mistakes="Elastic dragged down; tape twisted or off to one side. Lift the tape by "
        "[1 cm|3/8 in] at the waist and this one grows by [2 cm|3/4 in], once in front and once "
        "behind.",
        used_for="The crotch seam is drafted to exactly this length plus its ease. Of all the "
        "measurements you may skip, this one decides most how the pants sit.",
        left_out="Front and back together serve as well. With none of them it is estimated, {±}; "
        "if you know waist above navel, {± navel}. That is enough to feel: cut a trial first.",
    ),
    HowTo(
        key="front_crotch_length",
        tape="Hang a string with a small weight over the tape at the crotch point, midway "
        "between front and back of the thigh, so that it drops straight between the legs. Read "
        "from the elastic in front to the string.",
        stand="As for the crotch length, tape left in place.",
        mistakes="String caught on the thigh; tape shifted while reading.",
        used_for="How the crotch seam is shared out: a full front shows here.",
        left_out="Whole less back. With neither, the usual share of the whole is taken.",
    ),
    HowTo(
        key="back_crotch_length",
        tape="With the same tape and string: from the string to the elastic behind.",
        stand="As for the crotch length, tape left in place.",
        mistakes="Bending forward to look, which lengthens the back.",
        used_for="How the crotch seam is shared out: a full or a flat seat shows here.",
        left_out="Whole less front. With neither, the usual share of the whole is taken.",
    ),
)

_UNITS: Final[tuple[Literal["cm", "in"], ...]] = ("cm", "in")


@cache
def spread_mm(build: Build, name: str, *, navel: bool = False) -> float:
    """Return the standard deviation of an estimate, mm, for an ordinary adult of a build.

    Given are the required measurements alone, or with `navel` the height of the waist over the
    navel besides. Raises KeyError for a measure that is not estimated then.
    """
    body = Body(build=build, height=1700.0, waist=820.0, hip=1020.0, inside_leg=790.0)
    if navel:
        body = replace(body, waist_above_navel=30.0)
    return {one.name: one.sd_mm for one in complete(body).estimates}[name]


def spread_words(name: str, units: str, *, navel: bool = False) -> str:
    """Return the spread as words that stay on one line: "± 2 cm"; a range where builds differ."""
    spreads = sorted(spread_mm(build, name, navel=navel) for build in BUILDS)
    if units == "cm":
        told = [f"{round(sd / 5.0) * 0.5:g}" for sd in spreads]
    else:
        told = [show_eighths(round(sd / 25.4 * 8)) for sd in spreads]
    words = f"± {' to '.join(dict.fromkeys(told))} {units}"
    return words.replace(" ", "\N{NO-BREAK SPACE}")


def if_missing_words(how: HowTo, units: str) -> str:
    """Return what is told under "if left out"."""
    name = how.estimate or how.key
    text = in_system(how.if_missing, units)
    for mark, navel in (("{±}", False), ("{± navel}", True)):
        if mark in text:
            text = text.replace(mark, spread_words(name, units, navel=navel))
    return text


def measure_html(units: str = "cm") -> str:
    """Return the measuring sheet as one self-contained HTML page, the same every time.

    `units` is "cm" or "in" and decides how lengths are told and how the table is headed. Raises
    InputError for anything else.
    """
    if units not in _UNITS:
        raise InputError("units", units, " or ".join(_UNITS), "choose the one on your tape")
    return _page(units)


@cache
def _page(units: str) -> str:
    return render_page(
        "measure.html",
        units=units,
        paper="Letter" if units == "in" else "A4",
        how_to=HOW_TO,
        say=lambda text: in_system(text, units),
        if_missing=lambda how: if_missing_words(how, units),
        drawings=drawings,
    )
