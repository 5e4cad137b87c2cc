"""Rhythm lines: forms, what each part has to start, and that every rule admits what is drawn."""

from __future__ import annotations

from itertools import islice, product
from random import Random

import pytest

from solver.rhythm.lines import Line, family, fits, forms, keeps_apart, period, spread, windows
from solver.rules import every_rule
from tests.rhythm.examples import NAMES, example
from tests.rules.small import plan_of


def numbered_on_entry(form: tuple[int, ...]) -> bool:
    """Whether each new cell takes the next number."""
    return all(cell <= len(set(form[:bar])) for bar, cell in enumerate(form))


@pytest.mark.parametrize("bars", range(1, 8))
def test_forms_are_all_ways_to_share_three_cells(bars: int) -> None:
    every = [form for form in product(range(3), repeat=bars) if numbered_on_entry(form)]
    wanted = {form for form in every if bars < 3 or len(set(form)) < bars}
    found = forms(bars)
    assert len(set(found)) == len(found)
    assert set(found) == wanted


def test_the_number_of_forms() -> None:
    """Stirling numbers of the second kind, summed over one to three blocks: 1 + 7 + 6 and 1 + 127 + 966."""
    assert len(forms(4)) == 14
    assert len(forms(8)) == 1094


def test_a_long_statement_takes_up_the_rhythm_of_a_part_of_it() -> None:
    assert forms(16) == [form + form for form in forms(8)]
    assert forms(15) == [form * 3 for form in forms(5)]
    assert all(len(form) == 12 for form in forms(12))


@pytest.mark.parametrize(
    ("top", "part", "bars"),
    [
        ("bars = 8; chord_bars = 8", "repeat_every = 4", 4),
        ("bars = 8; chord_bars = 8", "repeat_every = 8", 4),  # no repeat: the largest of 4, 2, 1 that divides the loop
        ("bars = 6; chord_bars = 6", "repeat_every = 6", 2),
        ("bars = 5; chord_bars = 5", "repeat_every = 5", 1),
        ("bars = 9; chord_bars = 9", "repeat_every = 3", 3),
    ],
)
def test_period(top: str, part: str, bars: int) -> None:
    plan = plan_of(top, lead=part)
    assert period(plan, plan.part("lead")) == bars


def test_the_low_part_starts_with_every_chord_and_every_return() -> None:
    plan = plan_of('bars = 4; chords = ["C", "F"]; chord_bars = [1.5, 2.5]', lead="repeat_every = 2", low="")
    low = plan.part("low")
    assert [windows(plan, low, bar) for bar in range(4)] == [{(0, 1)}, {(8, 9)}, {(0, 1)}, frozenset()]
    assert windows(plan, plan.part("lead"), 0) == frozenset()


def test_the_background_starts_within_every_chord_of_a_bar() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 0.5', background="")
    assert windows(plan, plan.part("background"), 1) == {(0, 8), (8, 16)}


def test_windows_that_a_cell_fits() -> None:
    wanted = frozenset({(0, 1), (8, 16)})
    assert fits((0, 10), wanted)
    assert not fits((0, 4), wanted)
    assert not fits((2, 10), wanted)
    assert fits((), frozenset())


def test_a_layout_is_spread_over_the_loop() -> None:
    plan = plan_of("bars = 4; chord_bars = 4", lead="repeat_every = 2")
    assert spread(plan, ((0, 6), (4,))) == (0, 6, 20, 32, 38, 52)


def test_notes_keep_apart_across_the_bar_line_and_the_loops_end() -> None:
    plan = plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2")
    lead = plan.part("lead")
    assert keeps_apart(plan, lead, (0, 14, 16, 28))
    assert not keeps_apart(plan, lead, (0, 15, 16, 28))
    assert not keeps_apart(plan, lead, (0, 14, 16, 31))


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_admits_what_is_drawn(name: str) -> None:
    plan = example(name)
    for part in plan.parts:
        rhythms = family(plan, part)
        lines = rhythms.draw(12, Random(name))
        assert len(lines) == len({line.onsets for line in lines}) == 12
        assert [line.mark for line in lines] == sorted((line.mark for line in lines), reverse=True)
        for line in lines:
            assert set(line.cells) <= set(rhythms.cells)
            assert line.onsets == spread(plan, line.cells)
            assert keeps_apart(plan, part, line.onsets)
            refused = [rule.name for rule in every_rule() if rule.admits and not rule.admits(plan, part, line.onsets)]
            assert refused == []


def test_a_seed_draws_its_own_lines() -> None:
    plan = example("ferry-lights")
    rhythms = family(plan, plan.part("lead"))
    drawn = [rhythms.draw(20, Random(seed)) for seed in (1, 1, 2)]
    assert drawn[0] == drawn[1]
    assert drawn[0] != drawn[2]


def test_every_line_of_a_small_family() -> None:
    """A bar of four beats with two or three notes, twice: what is drawn is among all that there are."""
    plan = plan_of("bars = 2; chord_bars = 2; grid = 4", lead="repeat_every = 2; notes_per_bar = [2, 3]")
    rhythms = family(plan, plan.part("lead"))
    every = list(rhythms.every())
    assert len({line.onsets for line in every}) == len(every)
    assert {line.onsets for line in rhythms.draw(10, Random(0))} <= {line.onsets for line in every}
    assert [len(set(line.cells)) for line in every] == sorted(len(set(line.cells)) for line in every)
    by_hand = [rhythms.line((one, other)) for one, other in product(rhythms.cells, repeat=2)]
    assert sorted(line.onsets for line in by_hand if line is not None) == sorted(line.onsets for line in every)


def test_what_is_searched_where_nothing_is_drawn() -> None:
    lines = family(example("ferry-lights"), example("ferry-lights").part("low")).every()
    assert all(isinstance(line, Line) for line in islice(lines, 3))
