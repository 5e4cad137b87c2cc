"""Rhythm cells against plain counting."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import comb, inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.music.metre import Metre, parse_metre
from solver.rhythm.cells import Cell, cells_for, compositions, fewest_weak, shortest_gap, weak_onsets
from tests.rhythm.examples import NAMES, example
from tests.rules.small import plan_of

METRES = [parse_metre(*one) for one in (("4/4", 8), ("4/4", 12), ("3/4", 12), ("6/8", 12), ("7/8", 7), ("5/4", 10))]


def placed(grid: int, count: int, shortest: int) -> tuple[Cell, ...]:
    """All ways to place so many onsets in a bar, neighbours far enough apart, by trying every choice of slots."""
    every = combinations(range(grid), count)
    return tuple(cell for cell in every if all(b - a >= shortest for a, b in pairwise(cell)))


@given(st.integers(1, 12), st.integers(0, 12), st.integers(1, 5))
@settings(deadline=None)
def test_compositions_are_all_placements(grid: int, count: int, shortest: int) -> None:
    shortest = min(shortest, grid)
    assert compositions(grid, count, shortest) == placed(grid, count, shortest)


@pytest.mark.parametrize(("grid", "count", "shortest"), [(16, 6, 2), (16, 4, 1), (16, 5, 1), (24, 4, 3), (20, 5, 2)])
def test_their_number(grid: int, count: int, shortest: int) -> None:
    """Choosing slots no nearer than ``shortest`` is choosing freely among as many fewer (any textbook of counting)."""
    assert len(compositions(grid, count, shortest)) == comb(grid - (count - 1) * (shortest - 1), count)


def test_no_onset_is_one_cell() -> None:
    assert compositions(16, 0, 2) == ((),)


@given(st.sampled_from(METRES), st.integers(0, 9), st.integers(1, 5))
@settings(deadline=None)
def test_the_fewest_weak_onsets_are_those_of_the_calmest_cell(metre: Metre, count: int, shortest: int) -> None:
    every = placed(metre.grid, count, shortest)
    assert fewest_weak(metre, count, shortest) == min((weak_onsets(cell, metre) for cell in every), default=inf)


@pytest.mark.parametrize("name", NAMES)
def test_cells_of_the_examples(name: str) -> None:
    """A part's cells are all placements of its density, at most a third of them (or one note) on the weakest slots."""
    plan = example(name)
    for part in plan.parts:
        fewest, most = part.notes_per_bar
        weakest = min(plan.metre.weights)
        wanted = {
            cell
            for count in range(fewest, most + 1)
            for cell in placed(plan.metre.grid, count, shortest_gap(plan, part))
            if 3 * sum(plan.metre.weights[slot] == weakest for slot in cell) <= max(3, count)
        }
        found = cells_for(plan, part)
        assert len(set(found)) == len(found)
        assert set(found) == wanted


def test_ferry_lights_has_at_least_two_hundred_cells_for_each_role() -> None:
    plan = example("ferry-lights")
    assert {part.role for part in plan.parts} == {"lead", "low", "background"}
    assert all(len(cells_for(plan, part)) >= 200 for part in plan.parts)


def test_a_bar_so_dense_that_no_placement_is_calm_has_all() -> None:
    plan = plan_of("grid = 8", lead="notes_per_bar = [8, 8]")
    assert cells_for(plan, plan.part("lead")) == (tuple(range(8)),)
    assert weak_onsets(tuple(range(8)), plan.metre) == 4


@pytest.mark.parametrize(
    ("top", "lead", "gap"),
    [
        ("", "", 2),  # an eighth
        ("grid = 8", "", 1),
        ("", "notes_per_bar = [12, 16]", 1),  # as many notes as asked for must fit
        ("tempo = 200", "", 2),  # a sixteenth lasts 0.075 s there, two of them 0.15 s
        ("tempo = 200", "notes_per_bar = [10, 16]", 1),
        ("tempo = 300; grid = 24", "", 3),
        ('tempo = 60; meter = "6/8"', "", 2),
    ],
)
def test_the_least_distance_of_two_notes(top: str, lead: str, gap: int) -> None:
    plan = plan_of(top, lead=lead)
    assert shortest_gap(plan, plan.part("lead")) == gap
