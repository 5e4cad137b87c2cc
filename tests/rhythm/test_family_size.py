"""The size of a family, against counting its lines one by one."""

from __future__ import annotations

from itertools import product
from math import prod

import pytest

from solver.brief.planning import plan_from_text
from solver.rhythm.family_size import _all_different, family_size, lines_at_most
from solver.rhythm.lines import family, fits
from tests.export.sample_plans import ONE_ROPE
from tests.page.served import BELL


@pytest.mark.parametrize("text", [ONE_ROPE, BELL], ids=["one-rope", "bell"])
def test_it_is_the_number_of_layouts_with_different_cells_and_no_less_than_the_lines(text: str) -> None:
    plan = plan_from_text(text, "small")
    for part in plan.parts:
        rhythms = family(plan, part)
        layouts = 0
        for form in rhythms.forms:
            letters = sorted(set(form))
            usable = [[c for c in rhythms.cells if fits(c, rhythms.wanted(form, letter))] for letter in letters]
            assert prod(map(len, usable)) < 1_000_000
            layouts += sum(len(set(cells)) == len(cells) for cells in product(*usable))
        assert lines_at_most(rhythms) == layouts
    assert family_size(plan) == prod(lines_at_most(family(plan, part)) for part in plan.parts)


def test_three_of_overlapping_sets() -> None:
    sets = [{(1,), (2,), (3,)}, {(2,), (3,), (4,)}, {(3,), (4,), (5,), (6,)}]
    assert _all_different(sets) == sum(len(set(cells)) == 3 for cells in product(*sets))
