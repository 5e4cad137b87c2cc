"""Literals for pairs of states: a solution has the arc of its states, and as many of those that count what is lost."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

import pytest

from solver.search.cp_sat import cp_model
from solver.search.moves import Literal
from solver.search.state import State
from solver.search.tables import arcs_along, lost_together

STATES = tuple(State((pitch,)) for pitch in (60, 62, 64))


class Collecting(cp_model.CpSolverSolutionCallback):
    """Keeps which of some literals are true in each solution."""

    def __init__(self, literals: list[Literal]) -> None:
        super().__init__()
        self.literals = literals
        self.found: list[tuple[int, ...]] = []

    def on_solution_callback(self) -> None:
        """One solution."""
        self.found.append(tuple(index for index, literal in enumerate(self.literals) if self.value(literal)))


def slots(cp: cp_model.CpModel) -> list[list[Literal]]:
    """Two slots, each of which has one of the states."""
    made = [[cp.new_bool_var("") for _ in STATES] for _ in range(2)]
    for literals in made:
        cp.add_exactly_one(literals)
    return made


def solutions(cp: cp_model.CpModel, literals: list[Literal]) -> list[tuple[int, ...]]:
    """Which of the literals are true, in each solution of the model."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    collecting = Collecting(literals)
    solver.solve(cp, collecting)
    return sorted(collecting.found)


@pytest.mark.parametrize(
    "loss",
    [
        lambda one, other: 0,
        lambda one, other: max(0, one.top - other.top),
        lambda one, other: (one.top * other.top) % 3,
        lambda one, other: int(abs(one.top - other.top) == 2),
    ],
)
def test_what_two_slots_lose_is_the_least_that_must_be_true(loss: Callable[[State, State], int]) -> None:
    cp = cp_model.CpModel()
    rows, columns = slots(cp)
    lost = lost_together(cp, (STATES, rows), (STATES, columns), loss)
    found = solutions(cp, [*rows, *columns, *lost])
    for i, j in product(range(3), repeat=2):
        true = [sum(index >= 6 for index in solution) for solution in found if {i, 3 + j} <= set(solution)]
        assert min(true) == loss(STATES[i], STATES[j])
        assert max(true) == len(lost)


def test_arcs() -> None:
    cp = cp_model.CpModel()
    rows, columns = slots(cp)
    ways = [(0, 1), (2, 0), (2, 2)]
    before, after = ((STATES, tuple([literal] for literal in literals)) for literals in (rows, columns))
    arcs = arcs_along(cp, ways, before, after)
    assert [(arc.a, arc.b) for arc in arcs] == [(STATES[i], STATES[j]) for i, j in ways]
    expected = [(i, 3 + j, 6 + at) for at, (i, j) in enumerate(ways)]
    assert solutions(cp, [*rows, *columns, *(arc.literal for arc in arcs)]) == sorted(expected)
