"""The CP-SAT solvers of the search: how a model is bounded, improved and refuted, each with a deterministic limit."""

from __future__ import annotations

from typing import Any

from solver.search.cp_sat import cp_model

# Note slots with a pitch of their own: eight bars of three parts have some 75, sixteen some 100.
MANY = 90

# The shares of the limit in a loop in blocks: turns, the other parts around the leads, what repeats, all statements.
# The blocks seldom need all of theirs.
TURNS, AROUND, REPEATING, STATEMENTS = 0.35, 0.15, 0.2, 0.3

# The shares of the limit in a search for what is above a total: cores, the linear relaxation, smallest cores.
REFUTING = 0.15, 0.15, 0.7


def solver_for(limit: float) -> cp_model.CpSolver:
    """A solver that gives the same answer everywhere: one worker, bounds from cores, a deterministic limit.

    Sets of rewards that cannot all be had (cores) bound this model sooner than its linear relaxation does: of the first
    six rhythms of ferry-lights all are proved in 0.2 to 1.3 deterministic seconds. With earlier merits they all were in
    7, where full linearization proved two and ended 1.4 to 2 % short with the others. No relaxation is solved beside
    the cores: it slows them.
    """
    solver = _plain_solver(limit)
    _bound_by_cores(solver.parameters)
    return solver


def solvers_for(limit: float, slots: int, blocks: int = 0) -> tuple[cp_model.CpSolver, ...]:
    """The solvers that a model goes through one after the other; ``slots`` have a pitch of their own.

    In a loop of many, cores alone come upon few solutions. There one worker first takes turns between cores and
    neighbourhoods of the best solution, for half of the limit, and then cores alone bound what was found. Where there
    are ``blocks``, they bound it, and turns have less.
    """
    if slots < MANY:
        return (solver_for(limit),)
    turns = _plain_solver(TURNS * limit if blocks else limit / 2)
    cores = cp_model.CpSolver().parameters
    cores.name = "cores"
    _bound_by_cores(cores)
    turns.parameters.interleave_search = True
    turns.parameters.subsolver_params.append(cores)
    turns.parameters.subsolvers.append(cores.name)
    return (turns,) if blocks else (turns, solver_for(limit / 2))


def refuters_for(limit: float) -> tuple[cp_model.CpSolver, ...]:
    """The solvers that show a model, one after the other, to have nothing above a total, or find what it has.

    Of the rhythms of ferry-lights that are refused most are by cores in 0.1 to 0.5 deterministic seconds; what is left
    then is by its linear relaxation, or by cores that are made as small as they get, sooner than by more of the same.
    """
    cores, relaxed, smallest = (_plain_solver(share * limit) for share in REFUTING)
    for solver in (cores, smallest):
        _bound_by_cores(solver.parameters)
    smallest.parameters.core_minimization_level = 2
    relaxed.parameters.linearization_level = 2
    return cores, relaxed, smallest


def solvers_for_blocks(limit: float, blocks: int) -> list[cp_model.CpSolver]:
    """A solver for each block: what repeats may take longest."""
    each = STATEMENTS * limit / (blocks - 1)
    return [solver_for(REPEATING * limit), *(solver_for(each) for _ in range(blocks - 1))]


def _plain_solver(limit: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = limit
    # They cost more on this model than they save: two seconds of presolve for a handful of fixed literals.
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.inprocessing_dtime_ratio = 0.0
    # Its own handler of Ctrl-C aborts the process where solvers run in several threads; the command has one.
    solver.parameters.catch_sigint_signal = False
    return solver


def _bound_by_cores(parameters: Any) -> None:
    parameters.optimize_with_core = True
    parameters.linearization_level = 0
    # A core is worth what it bounds: time to make it smaller, or to find the least it costs, is better spent on others.
    parameters.cover_optimization = False
    parameters.core_minimization_level = 1
    parameters.max_sat_reverse_assumption_order = True
