"""The rooms whose tests are judged: the files that are changed, and the tests that must notice."""

from __future__ import annotations

from typing import NamedTuple


class Room(NamedTuple):
    """Files that are changed, and the tests (files or folders) that have to notice."""

    files: tuple[str, ...]
    tests: tuple[str, ...]


ROOMS = {
    "curves": Room(
        ("curves/*.py",),
        (
            *("tests/curves", "tests/outside/test_monotone_scipy.py"),
            "tests/outside/test_curves_against_scipy_shapely.py",
        ),
    ),
    "block": Room(
        ("draft/block/*.py",),
        (
            *("tests/draft/test_block.py", "tests/draft/test_legs.py"),
            *("tests/draft/test_checks.py", "tests/draft/test_straight_hem.py"),
            *("tests/draft/alter/test_alterations.py", "tests/outside/test_handbook_block.py"),
            *("tests/draft/test_lengths_rises.py", "tests/golden/test_gallery_figures.py"),
            "tests/draft/test_girths.py",
        ),
    ),
    "bands": Room(
        ("draft/bands/*.py",),
        (
            *("tests/draft/test_bands.py", "tests/outside/test_band_example.py"),
            *("tests/draft/test_checks.py", "tests/draft/test_belts.py"),
            *("tests/draft/alter/test_alterations.py", "tests/draft/test_buying.py"),
        ),
    ),
    "checks": Room(
        ("draft/checks/*.py",),
        (
            *("tests/draft/test_checks.py", "tests/draft/test_pockets.py"),
            *("tests/draft/test_belts.py", "tests/draft/test_sided.py"),
            *("tests/draft/test_tape.py", "tests/draft/test_slips.py"),
            *("tests/draft/test_ankle.py", "tests/draft/test_straight_hem.py"),
            *("tests/draft/test_ease_of_fit.py", "tests/draft/test_lengths_rises.py"),
        ),
    ),
    "lay": Room(
        ("draft/lay/check/*.py",),
        (
            *("tests/draft/lay/test_verify.py", "tests/draft/lay/test_lay_search.py"),
            *("tests/draft/lay/test_lay_parts.py", "tests/draft/lay/test_lay_narrow.py"),
            *("tests/outside/test_lay_shapely.py", "tests/draft/lay/test_lay_free.py"),
        ),
    ),
    "tiling": Room(
        tuple(
            f"cli/paper/{f}.py"
            for f in ("grid", "tiles", "joints", "free_space", "furniture", "first_page")
        ),
        (
            *("tests/cli/test_page_furniture.py", "tests/golden/test_home_pages.py"),
            "tests/cli/test_tiles.py",
            *("tests/cli/test_pdf.py", "tests/outside/test_pdf_readers.py"),
        ),
    ),
}
