"""Bounds of rhythms from their lines: never below what a rhythm reaches, and exact where they are made of the scale."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import product
from random import Random

import pytest

from solver.arrangement import Arrangement
from solver.heard import Heard
from solver.merits import every_merit
from solver.rhythm.skeleton import skeleton_from
from solver.rhythm.skeletons import every_rhythm
from solver.search.cp_sat import cp_model
from solver.search.line_bounds import LineBounds, Rhythm
from solver.search.scale import scale_for
from solver.search.solve import Solved, Watch, solve_skeleton
from solver.search.solvers import solver_for
from tests.rules.small import plan_of
from tests.search.random_briefs import SmallCase, random_case

LIMIT = 0.1
CASES = 6
NEVER = -1_000_000


def most_of(model: cp_model.CpModel) -> int:
    solver = solver_for(LIMIT)
    return NEVER if solver.solve(model) == cp_model.INFEASIBLE else math.floor(solver.best_objective_bound + 1e-6)


def bounds_of(case: SmallCase, rhythms: list[Rhythm]) -> LineBounds:
    bounds = LineBounds(case.plan, rhythms, most_of)
    with ThreadPoolExecutor(1) as pool:
        bounds.learn(pool)
    return bounds


def solved(case: SmallCase, rhythm: Rhythm) -> Solved:
    watch = Watch(lambda: False)
    try:
        return solve_skeleton(case.plan, skeleton_from(case.plan, rhythm), watch, limit=LIMIT)
    finally:
        watch.close()


@pytest.fixture(scope="module")
def cases() -> list[tuple[SmallCase, list[Rhythm]]]:
    """Small random briefs, each with the rhythms that the lines of two drawn ones make."""
    found = []
    for number in range(10 * CASES):
        one = random_case(Random(f"line bounds {number}"))
        if one is None or len(one.plan.parts) < 2:
            continue
        # The other lines are the same a slot later, where the loop has room for that.
        lines = {
            name: [onsets, *([later] if (later := tuple(o + 1 for o in onsets))[-1] < one.plan.slots else [])]
            for name, onsets in one.skeleton.onsets.items()
        }
        found.append((one, [dict(zip(lines, chosen, strict=True)) for chosen in product(*lines.values())][:2]))
        if len(found) == CASES:
            break
    return found


def test_no_bound_is_below_what_a_rhythm_reaches(cases: list[tuple[SmallCase, list[Rhythm]]]) -> None:
    reached = 0
    for case, rhythms in cases:
        bounds = bounds_of(case, rhythms)
        for number, rhythm in enumerate(rhythms):
            one = solved(case, rhythm)
            if one.arrangement is not None:
                reached += 1
                assert one.total <= bounds.closer(number) <= bounds.all_won[number]
                assert one.total <= bounds.close(number) <= bounds.all_won[number]
    assert reached >= CASES


def test_what_adds_up_is_measured_as_in_the_scale(cases: list[tuple[SmallCase, list[Rhythm]]]) -> None:
    for case, rhythms in cases:
        bounds = LineBounds(case.plan, rhythms, most_of)
        for number, rhythm in enumerate(rhythms):
            bounds.closer(number)
            fresh = scale_for(case.plan, skeleton_from(case.plan, rhythm), case.plan.weights)
            assert bounds.scales[number] == fresh
            added = {entry.merit.name: entry for entry in bounds.added_up(number)}
            assert added == {entry.merit.name: entry for entry in fresh.measured if entry.merit.adds_up}


def test_merits_that_add_up_are_the_sums_of_what_the_parts_have_alone(
    cases: list[tuple[SmallCase, list[Rhythm]]],
) -> None:
    for case, rhythms in cases:
        arrangement = solved(case, rhythms[0]).arrangement
        if arrangement is None:
            continue
        whole = Heard(case.plan, arrangement)
        alone = [
            Heard(replace(case.plan, parts=(part,)), Arrangement(arrangement.part(part.name)))
            for part in case.plan.parts
        ]
        for merit in every_merit():
            if merit.adds_up and merit.applies(case.plan):
                having = [heard for heard in alone if merit.applies(heard.plan)]
                assert merit.measure(whole) == sum(merit.measure(heard) for heard in having), merit.name
                assert merit.best(whole) == sum(merit.best(heard) for heard in having), merit.name


def test_a_line_without_any_arrangement_bounds_all_its_rhythms() -> None:
    plan = plan_of('bars = 2; chords = ["C"]; grid = 8', one='role = "lead"', other='role = "low"')
    rhythm = every_rhythm(plan, 0, 1)[0]
    bounds = LineBounds(plan, [rhythm], lambda model: NEVER)
    with ThreadPoolExecutor(1) as pool:
        bounds.learn(pool)
    assert bounds.close(0) < 0


def test_what_is_not_known_of_a_line_takes_nothing_off() -> None:
    plan = plan_of('bars = 2; chords = ["C"]; grid = 8', one='role = "lead"', other='role = "low"')
    rhythms = every_rhythm(plan, 0, 2)
    for bounds in (LineBounds(plan, rhythms, lambda model: None), LineBounds(plan, rhythms, most_of, lambda: True)):
        with ThreadPoolExecutor(1) as pool:
            bounds.learn(pool)
        assert [bounds.close(number) for number in range(2)] == bounds.all_won


def test_a_line_s_model_is_the_same_beside_any_other_lines() -> None:
    """A tone that only one part could have in one rhythm must not bound it in another."""
    plan = plan_of(
        'bars = 2; chords = ["C", "F"]; chord_bars = 1; grid = 8',
        one='role = "lead"; range = "C5..G5"; notes_per_bar = [1, 3]',
        other='role = "low"; range = "C3..A3"; notes_per_bar = [1, 2]',
    )
    lines = {"one": [(0, 2, 8, 10), (0, 8)], "other": [(0, 8), (0, 4, 8, 12)]}
    rhythms = [dict(zip(lines, chosen, strict=True)) for chosen in product(*lines.values())]
    losses = []
    for ordered in (rhythms, rhythms[::-1]):
        bounds = LineBounds(plan, ordered, most_of)
        with ThreadPoolExecutor(1) as pool:
            bounds.learn(pool)
        losses.append({tuple(rhythm.items()): bounds.close(number) for number, rhythm in enumerate(ordered)})
    assert losses[0] == losses[1]
