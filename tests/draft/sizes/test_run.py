"""A style over a row of bodies: tables, grades, labels, and sizes that cannot be drafted."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.sizes import Size, SizeRun, draft_sizes
from outseam.draft.sizes.grade import grade_sizes
from outseam.draft.sizes.tables import TABLES, SizeTable, filled_body, table_named, table_sizes
from outseam.draft.spec.spec import load_style, parse_spec

STYLE = replace(load_style(None), title="Plain")


def body(hip: float, waist: float, **more: Any) -> Body:
    return filled_body("women", {"hip": hip, "waist": waist, **more})


def test_labels_and_patterns_go_together() -> None:
    run = draft_sizes(
        STYLE, [Size(label="S", body=body(920, 720)), Size(label=" M", body=body(960, 760))]
    )
    assert run.labels == ("S", "M")
    assert [p.measures.hip for p in run.patterns] == [920, 960]
    assert [p.spec.title for p in run.patterns] == ["Plain, size S", "Plain, size M"]


def test_size_that_cannot_be_drafted_does_not_stop_the_others() -> None:
    bad = body(960, 760, crotch_length=300)
    run = draft_sizes(STYLE, [Size(label="S", body=body(920, 720)), Size(label="bad", body=bad)])
    assert run.labels == ("S",)
    assert [one.label for one in run.skipped] == ["bad"]
    assert "choose a higher rise" in run.skipped[0].reason


def test_alterations_stay_with_the_body_that_tried_them_on() -> None:
    text = "[body]\nheight=168\nwaist=80\nhip=104\ninside_leg=77\n"
    altered = parse_spec(text + '[[alter]]\nwhat = "full seat"\namount = "1 cm"\n')
    sizes = [Size(label="S", body=body(960, 760))]
    one, other = (draft_sizes(s, sizes).patterns[0] for s in (altered, parse_spec(text)))
    assert one.block.crotch_target_mm == other.block.crotch_target_mm


@pytest.mark.parametrize("labels", [["S", "s"], ["", "M"], [], [str(i) for i in range(61)]])
def test_labels_are_refused(labels: list[str]) -> None:
    with pytest.raises(InputError):
        draft_sizes(STYLE, [Size(label=x, body=body(960, 760)) for x in labels])


def test_run_refuses_labels_without_patterns() -> None:
    with pytest.raises(ValueError, match="label"):
        SizeRun(title="", source="", labels=("S",), patterns=())


@pytest.mark.parametrize("table", TABLES, ids=lambda t: t.name)
def test_every_table_drafts_whole(table: SizeTable) -> None:
    assert table_named(table.name) is table
    assert "from memory" in table.source
    run = draft_sizes(STYLE, table_sizes(table))
    assert run.skipped == ()
    assert run.labels == tuple(row[0] for row in table.rows)
    hips = [p.measures.hip for p in run.patterns]
    assert hips == sorted(hips)
    for pattern in run.patterns:
        assert not pattern.errors
        assert pattern.measures.height == 1680.0
        assert 0.42 < pattern.measures.inside_leg / 1680.0 < 0.50


def test_unknown_table() -> None:
    with pytest.raises(InputError, match="did you mean"):
        table_named("en-13402-woman")


def test_height_moves_the_inside_leg() -> None:
    short, tall = (table_sizes(TABLES[0], mm)[4].body for mm in (1550.0, 1780.0))
    assert 80.0 < tall.inside_leg - short.inside_leg < 160.0


GRADE: dict[str, Any] = {
    "labels": ["S", "M", "L", "XL"],
    "base": "M",
    "body": {"waist": 72, "hip": "96 cm", "crotch_length": 68},
    "steps": {"waist": 4, "hip": [4, 4, 5], "crotch_length": 1.5},
}


def test_grade_steps_both_ways_from_its_base() -> None:
    sizes = grade_sizes(GRADE)
    assert [s.label for s in sizes] == ["S", "M", "L", "XL"]
    assert [s.body.waist for s in sizes] == [680, 720, 760, 800]
    assert [s.body.hip for s in sizes] == [920, 960, 1000, 1050]
    assert [s.body.crotch_length for s in sizes] == [665, 680, 695, 710]


def test_grade_in_inches() -> None:
    inches = {"units": "in", "labels": ["8", "10"], "body": {"waist": 27, "hip": "37 1/2"},
              "steps": {"waist": "1 1/2", "hip": 1}}  # fmt: skip
    sizes = grade_sizes(inches)
    assert [s.body.waist for s in sizes] == pytest.approx([685.8, 723.9])
    assert [s.body.hip for s in sizes] == pytest.approx([952.5, 977.9])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"labels": None}, "labels: not given"),
        ({"labels": ["S"]}, "2 labels"),
        ({"base": "Q"}, "one of the labels"),
        ({"body": 3}, "a table \\[body\\]"),
        ({"body": {"waist": 72}}, "hip"),
        ({"steps": {"hip": [4, 4]}}, "2 steps; allowed: 3"),
        ({"steps": {"thigh": 1}}, "give body.thigh"),
        ({"steps": {"hipp": 1}}, "did you mean"),
        ({"steps": {"hip": 60}}, "smaller steps"),
        ({"body": {"waist": 72, "hip": 960}}, "96"),
        ({"grading": 1}, "no such key"),
    ],
)
def test_grade_is_refused_in_a_sentence(change: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        grade_sizes(GRADE | change)
