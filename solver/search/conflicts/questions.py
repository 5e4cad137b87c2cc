"""A question to the solver about some of a brief's lines: how long it may take, and what ends it before."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

from solver.search.cp_sat import cp_model

LIMIT = 20.0  # deterministic seconds for one question
SHORT = 0.2  # for what need not be known: a rhythm as full as can be, a core
LOOKS = 0.1  # seconds between two looks whether a question is to end


class Undecided(Exception):
    """A question was not answered within its limit."""


def new_solver(limit: float = LIMIT) -> cp_model.CpSolver:
    """A solver that gives the same answer everywhere, and a core of assumptions where it refutes."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1  # a core of assumptions is only given by one worker
    solver.parameters.max_deterministic_time = limit
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.catch_sigint_signal = False
    return solver


def status_of(
    solver: cp_model.CpSolver, model: cp_model.CpModel, stopped: Callable[[], bool]
) -> cp_model.CpSolverStatus:
    """Solve, until ``stopped``; beside the caller's thread, for in the main one Ctrl-C is not heard meanwhile."""
    with ThreadPoolExecutor(max_workers=1) as beside:
        asked = beside.submit(solver.solve, model)
        while True:
            try:
                return asked.result(timeout=LOOKS)
            except TimeoutError:
                if stopped():
                    solver.stop_search()


def is_solved(solver: cp_model.CpSolver, model: cp_model.CpModel, stopped: Callable[[], bool] = lambda: False) -> bool:
    """Whether a model has a solution. Raises Undecided where that is not known within the limit."""
    status = status_of(solver, model, stopped)
    if status == cp_model.UNKNOWN:
        raise Undecided
    return status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
