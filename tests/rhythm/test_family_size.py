"""The size of a family, against counting its lines one by one."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import prod

import pytest

from solver.brief.planning import plan_from_text
from solver.held import Held
from solver.rhythm.family_size import _all_different, are_all, family_size, lines_at_most
from solver.rhythm.lines import family, fits
from tests.export.sample_plans import ONE_ROPE
from tests.page.served import BELL
from tests.rhythm.examples import example
from tests.rules.small import notes_of, plan_of


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


def test_some_rhythms_are_all_or_not() -> None:
    """On a grid of beats a low part of two notes, the first with the chord, has three rhythms."""
    plan = plan_of("grid = 4", low="notes_per_bar = [2, 2]")
    three = [{"low": (0, beat)} for beat in (1, 2, 3)]
    assert are_all(plan, three)
    assert not are_all(plan, three[:2])


def test_what_the_rules_between_parts_refuse_is_not_missed() -> None:
    """A background with more notes than the lead is refused: of four pairs of rhythms one is."""
    plan = plan_of(
        'bars = 1; grid = 2; meter = "2/4"', lead="notes_per_bar = [1, 2]", background="notes_per_bar = [1, 2]"
    )
    every = {part.name: list(family(plan, part).every()) for part in plan.parts}
    pairs = [
        {"lead": lead.onsets, "background": background.onsets}
        for lead, background in product(every["lead"], every["background"])
    ]
    kept = [pair for pair in pairs if len(pair["background"]) <= len(pair["lead"])]
    assert 0 < len(kept) < len(pairs)
    assert are_all(plan, kept)
    assert not are_all(plan, kept[1:])


def test_of_very_many_rhythms_it_is_not_known() -> None:
    assert not are_all(example("ferry-lights"), [])


def test_held_notes_leave_one_rhythm_where_all_of_it_is_held() -> None:
    plan = plan_of("bars = 2; grid = 4", low="notes_per_bar = [1, 4]")
    notes = notes_of(plan, "low", "C3 . . . | C3 . . .")
    for bars in (1, 2):
        held = replace(plan, held=(Held("low", 0, 4 * bars, "notes", notes[:bars], "a test"),))
        assert are_all(held, [{"low": (0, 4)}]) == (bars == 2)
