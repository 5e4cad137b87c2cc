"""From counts to points and to the total."""

from __future__ import annotations

from statistics import median_low

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.heard import Heard
from solver.merits import every_merit, gaps_filled, small_moves
from solver.rhythm.skeletons import skeletons
from solver.search.scale import UNIT, Measured, Scale, scale_for, scale_of
from tests.search.conflicts.infeasible import BRIEFS
from tests.search.fixing import arrangement_of
from tests.search.small_loops import LOOPS

NAME = "a background with the tone that is missing"
PLAN = LOOPS[NAME].plan()
SKELETON = LOOPS[NAME].skeleton(PLAN)
EQUAL = {merit.name: 1 for merit in every_merit()}


def entry(chance: int, best: int, step: int = 10) -> Measured:
    return Measured(small_moves.MERIT, 1, chance, best, step)


@given(st.integers(-50, 50), st.integers(1, 50), st.integers(0, 50))
def test_chance_is_0_and_the_best_is_100(chance: int, room: int, won: int) -> None:
    measured = entry(chance, chance + room)
    assert measured.points(chance) == 0
    assert measured.points(chance + room) == 100
    assert measured.points(chance - 1) == 0
    assert measured.points(chance + min(won, room)) == pytest.approx(100 * min(won, room) / room)
    assert measured.worth(chance) == 0
    assert measured.worth(chance + won) == 10 * won
    assert measured.worth(chance - won) == -10 * won


def test_chance_never_is_the_best() -> None:
    """Else a merit that random lines have in full would have no scale: short of it would count as all of it."""
    for found in scale_for(PLAN, SKELETON, EQUAL).measured:
        assert found.chance < found.best


def test_the_total_of_the_best_is_a_hundred() -> None:
    """But for rounding: a step is a whole number of thousandths for each unit of a merit's count."""
    scale = scale_for(PLAN, SKELETON, EQUAL)
    rounding = sum(max(1, found.best - found.chance) for found in scale.measured)
    best = scale.total({found.merit.name: found.best for found in scale.measured})
    assert abs(best - 100 * UNIT) <= rounding
    assert scale.total({found.merit.name: found.chance for found in scale.measured}) == 0


def test_merits_share_the_total_by_weight() -> None:
    weights = dict.fromkeys(EQUAL, 0) | {small_moves.NAME: 300, gaps_filled.NAME: 100}
    scale = scale_for(PLAN, SKELETON, weights)
    assert [found.merit.name for found in scale.measured] == [small_moves.NAME, gaps_filled.NAME]
    moves, gaps = scale.measured
    assert moves.worth(moves.best) == pytest.approx(75 * UNIT, rel=0.01)
    assert gaps.worth(gaps.best) == pytest.approx(25 * UNIT, rel=0.01)


def test_merits_that_do_not_apply_are_left_out() -> None:
    alone = LOOPS["a low part that goes down"]
    plan = alone.plan()
    found = {measured.merit.name for measured in scale_for(plan, alone.skeleton(plan), EQUAL).measured}
    assert found == {merit.name for merit in every_merit() if merit.applies(plan)} < set(EQUAL)


def test_chance_is_the_median_of_random_lines() -> None:
    """A count of notes that start together is the rhythm's alone, so chance is what this very rhythm has."""
    scale = scale_for(PLAN, SKELETON, EQUAL)
    assert scale == scale_for(PLAN, SKELETON, EQUAL)  # the sample is seeded
    assert all(found.chance <= found.best for found in scale.measured)
    assert median_low([1, 2, 3, 4]) == 2  # a count, never half of one


def test_a_finished_arrangement_has_the_scale_of_its_rhythm() -> None:
    lines = {"lead": ((72,), (76,)), "background": ((67,), (67,)), "low": ((48,), (48,))}
    music = Heard(PLAN, arrangement_of(PLAN, SKELETON, lines))
    scale = scale_of(PLAN, music, EQUAL)
    assert scale == scale_for(PLAN, SKELETON, EQUAL)
    counts = scale.counts(music)
    assert counts == {found.merit.name: found.merit.measure(music) for found in scale.measured}
    marks = scale.marks(music)
    assert [mark.merit for mark in marks] == [found.merit.name for found in scale.measured]
    assert all(0 <= mark.points <= 100 and mark.weight == 1 and mark.sentence for mark in marks)
    assert scale.total(counts) == sum(found.worth(counts[found.merit.name]) for found in scale.measured)


def test_no_merit_no_total() -> None:
    scale = scale_for(PLAN, SKELETON, dict.fromkeys(EQUAL, 0))
    assert scale == Scale(())
    assert scale.total({}) == 0


def test_a_part_for_which_the_hand_finds_no_chord_has_a_scale() -> None:
    plan = BRIEFS["no chord in reach"].read()[1]
    assert scale_for(plan, next(skeletons(plan, 0)), plan.weights).measured
