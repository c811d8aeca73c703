"""The shipped font: widths, cleaning, shortening and breaking of text."""

import hashlib
import itertools

import pytest

from outseam.cli.scene.font import FONT_FILE, FONT_FOLDER
from outseam.cli.scene.text import (
    ELLIPSIS,
    MAX_CHARS,
    clean_text,
    shorten_text,
    text_width_mm,
    wrap_text,
)


def test_font_file_is_the_released_one_with_its_licence_beside_it():
    # DejaVu Sans 2.37 as Debian's fonts-dejavu-core 2.37-6 ships it
    digest = hashlib.sha256(FONT_FILE.read_bytes()).hexdigest()
    assert digest == "abdc775b21b1bc470d50c97e790d276f2054b7504e56e5bd3e64f48d68582322"
    licence = (FONT_FOLDER / "LICENSE-DejaVu.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted" in licence


# Advances in units of 1/2048 em, read from the font's own hmtx table with fontTools 4.68.
@pytest.mark.parametrize(
    ("text", "units"),
    [("i", 569), ("W", 2025), ("0123456789", 13030), ("½", 1985), ("é", 1260), ("", 0)],
)
def test_width_is_the_sum_of_the_font_tables_advances(text, units):
    assert text_width_mm(text, 10.0) == pytest.approx(units / 2048 * 10, abs=1e-9)


@pytest.mark.parametrize(
    ("raw", "clean"),
    [
        ("front\nleg\t1", "front leg 1"),
        ("a\x00b\x1b", "a�b�"),
        ("e\u0301", "é"),
        ("\u202eevil\u200b", "�evil�"),
        ("\ud800", "�"),
        ("日本", "��"),
        ("⅜ in · 10 °, ✂ <&>\"'", "⅜ in · 10 °, ✂ <&>\"'"),
    ],
)
def test_cleaned_text_shows_where_something_could_not_be_shown(raw, clean):
    assert clean_text(raw) == clean


def test_other_fonts_may_have_what_the_shipped_one_lacks():
    assert clean_text("日本\x00", any_font=True) == "日本�"


def test_shortened_text_is_the_longest_start_that_fits():
    text = "Pants for a very long summer"
    for width in (12.0, 20.0, 33.3):
        short = shorten_text(text, 4.0, width)
        kept = short.removesuffix(ELLIPSIS)
        assert short.endswith(ELLIPSIS)
        assert text.startswith(kept)
        assert text_width_mm(short, 4.0) <= width
        longer = text[: len(kept) + 1].rstrip()
        if longer == kept:
            longer = text[: len(kept) + 2]
        assert text_width_mm(longer + ELLIPSIS, 4.0) > width
    assert shorten_text(text, 4.0, text_width_mm(text, 4.0) + 1e-9) == text


def test_a_megabyte_of_text_is_cut_before_it_is_measured():
    assert len(clean_text("x" * 1_000_000)) == MAX_CHARS
    short = shorten_text("Ж" * 1_000_000, 7.0, 190.0)
    assert short.endswith(ELLIPSIS)
    assert text_width_mm(short, 7.0) <= 190.0
    assert shorten_text("ab" + " " * 1_000_000, 7.0, 190.0) == "ab" + ELLIPSIS


def test_wrapped_lines_fit_and_keep_every_word():
    text = "Lay it on the page before, up to the grey dashed line, and tape it"
    lines = wrap_text(text, 3.0, 40.0)
    assert len(lines) > 1
    assert " ".join(lines) == text
    assert all(text_width_mm(one, 3.0) <= 40.0 for one in lines)
    for one, following in itertools.pairwise(lines):
        assert text_width_mm(f"{one} {following.split()[0]}", 3.0) > 40.0
    assert wrap_text("Donaudampfschifffahrt", 3.0, 20.0)[0].endswith(ELLIPSIS)
