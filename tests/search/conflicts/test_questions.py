"""Questions to the solver end when they are asked to, and leave the caller's thread to listen."""

from __future__ import annotations

import threading

import pytest

from solver.search.conflicts.questions import Undecided, is_solved, new_solver, status_of
from solver.search.cp_sat import cp_model


class Endless(cp_model.CpSolver):
    """A solver that finds nothing until it is stopped."""

    def __init__(self) -> None:
        super().__init__()
        self.ended = threading.Event()
        self.beside = False

    def solve(
        self, model: cp_model.CpModel, solution_callback: cp_model.CpSolverSolutionCallback | None = None
    ) -> cp_model.CpSolverStatus:
        self.beside = threading.current_thread() is not threading.main_thread()
        assert self.ended.wait(60)
        return cp_model.UNKNOWN

    def stop_search(self) -> None:
        self.ended.set()


def test_a_question_ends_when_it_is_asked_to() -> None:
    solver = Endless()
    assert status_of(solver, cp_model.CpModel(), lambda: True) == cp_model.UNKNOWN
    assert solver.beside
    with pytest.raises(Undecided):
        is_solved(Endless(), cp_model.CpModel(), lambda: True)


def test_a_question_is_answered() -> None:
    model = cp_model.CpModel()
    literal = model.new_bool_var("")
    model.add_bool_or(literal)
    assert is_solved(new_solver(), model)
    model.add_bool_or(literal.negated())
    assert not is_solved(new_solver(), model)
