"""Rows of the picture: whole bars, everything inside, repeats below each other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.export.picture.layout import MOST_SLOTS, WIDTH, bars_per_row, layout_of
from solver.music.metre import parse_metre
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan


@pytest.mark.parametrize("name", TEXTS)
def test_the_rows_cover_the_loop_and_every_note_lies_inside(name: str) -> None:
    plan = sample_plan(name)
    arrangement = sample_arrangement(plan)
    layout = layout_of(plan, arrangement)
    assert [row.start for row in layout.rows] == [0, *(row.end for row in layout.rows[:-1])]
    assert layout.rows[-1].end == plan.slots
    assert all(before.bottom < after.top for before, after in zip(layout.rows, layout.rows[1:], strict=False))
    assert layout.rows[-1].bottom < layout.legend_top < layout.height
    for note in arrangement.notes:
        (row,) = [row for row in layout.rows if row.start <= note.onset < row.end]
        assert row.top < layout.y(row, note.pitch) < row.bottom
        assert 0 < layout.x(row, note.onset) < layout.x(row, row.end) < WIDTH


@pytest.mark.parametrize(
    ("bars", "repeat", "metre", "expected"),
    [
        (8, 4, "4/4", 4),
        (16, 8, "4/4", 4),
        (12, 6, "4/4", 3),
        (10, 5, "4/4", 5),
        (8, 2, "4/4", 4),
        (14, 7, "4/4", 7),
        (1, None, "4/4", 1),
        (32, None, "4/4", 4),
        (6, 3, "3/4", 6),
        (8, 4, "12/8", 2),
    ],
)
def test_statements_stand_below_each_other(bars: int, repeat: int | None, metre: str, expected: int) -> None:
    plan = sample_plan("ferry-lights")
    lead = replace(plan.parts[0], repeat_every=repeat)
    plan = replace(plan, bars=bars, metre=parse_metre(metre), parts=(lead, *plan.parts[1:]))
    assert bars_per_row(plan) == expected


def test_a_fine_grid_makes_short_rows_not_narrow_ones() -> None:
    plan = replace(sample_plan("ferry-lights"), metre=parse_metre("12/8", 72))
    assert bars_per_row(plan) * 72 <= MOST_SLOTS
