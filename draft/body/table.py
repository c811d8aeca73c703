"""What a person measures: the table [body] of the spec file."""

from __future__ import annotations

from dataclasses import dataclass

from outseam.draft.body.population import BUILDS, Build
from outseam.draft.inputs.value_kinds import Choice, Length, Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What the file says about the body: lengths in mm, None where not measured."""

    build: Build = Choice.key(
        "women",
        choices=BUILDS,
        help="whose figures serve to estimate what is not measured",
        also=("sex", "gender", "figure"),
    )
    name: str = Text.key(
        "", help="whose body this is; printed on the pattern", example="my measurements this spring"
    )
    height: float = Length.key(
        within=(1200, 2300),
        help="standing, without shoes, against a wall",
        example=1680,
        also=("stature",),
    )
    waist: float = Length.key(
        within=(450, 2200),
        help="round the waist, where you want a waist to be: tie a string there and let it "
        "settle; all waist measures below start at that string",
        example=805,
    )
    waist_above_navel: float | None = Length.key(
        None,
        within=(-100, 100),
        help="how far the waist string lies above the navel; below it with a minus sign",
        example=35,
        also=("navel", "waist_over_navel"),
        default_says="usual for the build, as an estimate",
    )
    hip: float = Length.key(
        within=(600, 2200),
        help="round the fullest part of the seat, tape level",
        example=1040,
        also=("hips", "seat", "bottom"),
    )
    high_hip: float | None = Length.key(
        None,
        within=(500, 2200),
        help="round belly and hip bones, tape level, [8 cm|3 1/8 in] below the waist string: "
        "where a band sits that is not at the waist",
        example=965,
        also=("upper_hip", "belly", "band_girth", "low_waist"),
    )
    thigh: float | None = Length.key(
        None, within=(300, 1300), help="round the thigh, just below the seat fold", example=615
    )
    knee: float | None = Length.key(
        None, within=(220, 900), help="round the knee, over the kneecap", example=380
    )
    calf: float | None = Length.key(
        None, within=(180, 900), help="round the fullest part of the calf", example=378
    )
    ankle: float | None = Length.key(
        None, within=(130, 600), help="round the ankle at its thinnest", example=222
    )
    foot: float | None = Length.key(
        None,
        within=(220, 650),
        help="round heel and instep, toes pointed: what has to pass the hem",
        example=316,
        also=("heel", "instep", "heel_instep"),
    )
    inside_leg: float = Length.key(
        within=(450, 1150),
        help="crotch to floor, without shoes: pull a level or a thin book up firmly between "
        "the legs and measure from its upper edge down",
        example=770,
        also=("inseam", "inside_leg_length", "inner_leg", "crotch_height"),
    )
    body_rise: float | None = Length.key(
        None,
        within=(150, 550),
        help="sitting upright on a hard chair: waist string to the seat of the chair; "
        "instead of the waist height",
        example=288,
        also=("rise", "crotch_depth", "seated_rise", "depth"),
    )
    outside_leg: float | None = Length.key(
        None,
        within=(600, 1620),
        help="waist string to the floor at the side, along the curve of the hip; "
        "instead of the waist height",
        example=1050,
        also=("outseam", "side_length"),
    )
    waist_height: float | None = Length.key(
        None, within=(600, 1600), help="waist string straight down to the floor", example=1038
    )
    waist_to_hip: float | None = Length.key(
        None,
        within=(60, 450),
        help="waist string down to the level where the hip was measured, at the side",
        example=202,
        also=("hip_depth", "waist_hip"),
    )
    hip_height: float | None = Length.key(
        None,
        within=(480, 1300),
        help="level of the hip measure to the floor; instead of waist to hip",
        example=836,
    )
    knee_height: float | None = Length.key(
        None, within=(250, 800), help="middle of the kneecap to the floor", example=452
    )
    crotch_length: float | None = Length.key(
        None,
        within=(400, 1350),
        help="front waist string, between the legs, to the back waist string; tape close "
        "but not tight",
        example=706,
        also=("crotch", "crotch_seam", "through_the_legs"),
    )
    front_crotch_length: float | None = Length.key(
        None,
        within=(150, 800),
        help="its front part, from the string to the crotch point, where the inseam will lie",
        example=318,
        also=("front_crotch", "crotch_front"),
    )
    back_crotch_length: float | None = Length.key(
        None,
        within=(150, 800),
        help="its back part, from the crotch point to the string at the back",
        example=388,
        also=("back_crotch", "crotch_back"),
    )
