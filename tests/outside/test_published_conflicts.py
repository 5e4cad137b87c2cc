"""Minimal conflicts printed in the literature, through the finder that explains briefs.

Example A: Junker 2004, "QuickXplain: Preferred Explanations and Relaxations for Over-Constrained Problems", AAAI,
tables 1 and 2: options that cost 500, 500, 800, 500 and 2600, a budget of 3000 (inferred: any value from 2600 up to
3100 gives the same answers). Example B: O'Sullivan, Papadopoulos, Faltings and Pu 2007 (the year from memory),
"Representative Explanations for Over-Constrained Problems", AAAI: a budget of 3000 as a constraint of its own, options
that cost 500, 500, 500 and 2600, the second and the third excluding each other.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import permutations

import pytest

from solver.search.conflicts.finder import independent_conflicts, minimal_conflict

COSTS = {1: 500, 2: 500, 3: 800, 4: 500, 5: 2600}
BUDGET = 3000
EVERY_CONFLICT_A = {frozenset(pair) for pair in ((1, 5), (2, 5), (3, 5), (4, 5))}
EVERY_CONFLICT_B = {frozenset(c) for c in (("c2", "c3"), ("c1", "c2", "c5"), ("c1", "c3", "c5"), ("c1", "c4", "c5"))}
OPTIONS_B = {"c2": 500, "c3": 500, "c4": 500, "c5": 2600}


def within_budget(subset: frozenset[int]) -> bool:
    """Example A: whether the options can be paid."""
    return sum(COSTS[option] for option in subset) <= BUDGET


def solved(subset: frozenset[str]) -> bool:
    """Example B by CP-SAT: the constraints of the subset over four options that may be taken."""
    return not _solve_b(subset)[0]


def core(subset: frozenset[str]) -> list[str]:
    """Assumptions that the solver says are enough for its refusal."""
    return _solve_b(subset)[1]


def _solve_b(subset: frozenset[str]) -> tuple[bool, list[str]]:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    taken = {name: model.new_bool_var(name) for name in OPTIONS_B}
    assumed = {name: model.new_bool_var(f"assume {name}") for name in sorted(subset)}
    model.add_bool_or(taken["c2"].negated(), taken["c3"].negated())
    for name, literal in assumed.items():
        if name == "c1":
            cost = cp_model.LinearExpr.weighted_sum(list(taken.values()), list(OPTIONS_B.values()))
            model.add(cost <= BUDGET).only_enforce_if(literal)
        else:
            model.add_implication(literal, taken[name])
    model.add_assumptions(list(assumed.values()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    refused = solver.solve(model) == cp_model.INFEASIBLE
    found = solver.sufficient_assumptions_for_infeasibility() if refused else []
    return refused, [name for name, literal in assumed.items() if literal.index in found]


def counted(oracle: Callable[[frozenset[int]], bool]) -> tuple[Callable[[frozenset[int]], bool], list[frozenset[int]]]:
    """The oracle, and the list of what it was asked."""
    asked: list[frozenset[int]] = []

    def ask(subset: frozenset[int]) -> bool:
        asked.append(subset)
        return oracle(subset)

    return ask, asked


@pytest.mark.parametrize(("order", "conflict"), [((1, 2, 3, 4, 5), (4, 5)), ((5, 4, 3, 2, 1), (5, 1))])
def test_deletion_gives_the_printed_conflict_of_each_order(order: tuple[int, ...], conflict: tuple[int, ...]) -> None:
    assert minimal_conflict(order, within_budget) == conflict


def test_deletion_asks_once_a_member() -> None:
    oracle, asked = counted(within_budget)
    minimal_conflict((1, 2, 3, 4, 5), oracle)
    # One question for the whole, five for the members, and the verification of a conflict of two: three.
    assert len(asked) == 1 + 5 + 3


def test_all_orders_together_give_every_conflict_of_example_a() -> None:
    found = {frozenset(minimal_conflict(order, within_budget)) for order in permutations(COSTS)}
    assert found == EVERY_CONFLICT_A


def test_all_orders_together_give_every_printed_conflict_of_example_b() -> None:
    answers: dict[frozenset[str], bool] = {}

    def feasible(subset: frozenset[str]) -> bool:
        return answers[subset] if subset in answers else answers.setdefault(subset, solved(subset))

    found = {frozenset(minimal_conflict(order, feasible)) for order in permutations(("c1", *OPTIONS_B))}
    assert found == EVERY_CONFLICT_B


def test_with_cores_of_the_solver_the_conflict_is_a_printed_one() -> None:
    assert frozenset(minimal_conflict(("c1", *OPTIONS_B), solved, core)) in EVERY_CONFLICT_B


def test_independent_conflicts_of_example_b() -> None:
    # From the last member on, {c2, c3} goes first; without both, {c1, c4, c5} is left.
    order = ("c5", "c4", "c1", "c2", "c3")
    found = independent_conflicts(order, lambda rest: minimal_conflict(rest, solved))
    assert [frozenset(conflict) for conflict in found] == [frozenset({"c2", "c3"}), frozenset({"c1", "c4", "c5"})]
