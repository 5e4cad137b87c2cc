"""Solving one skeleton: the pitch model with its objective, to the proven best or to a deterministic limit."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.rhythm.skeleton import Skeleton
from solver.search.blocks import blocks_of, bound_by_blocks
from solver.search.cp_sat import cp_model
from solver.search.excuses import broken_rhythms
from solver.search.excusing import give_up
from solver.search.model import NoState, PitchModel, Stopped
from solver.search.notes import arrangement_from
from solver.search.ornaments import ornamented
from solver.search.scale import Scale, scale_for
from solver.search.state import State

# Deterministic seconds for one skeleton: about two real ones each on a machine of 2026 with a skeleton on every core.
LIMIT = 7.0

# Note slots with a pitch of their own: eight bars of three parts have some 75, sixteen some 100.
MANY = 90

# The shares of the limit in a loop in blocks: turns, the other parts around the leads, what repeats, all statements.
# The blocks seldom need all of theirs.
TURNS, AROUND, REPEATING, STATEMENTS = 0.35, 0.15, 0.2, 0.3

# What a solver tells of each solution as it finds it: the total, its scale, and a way to have the notes while it waits.
Found = Callable[[int, Scale, Callable[[], Arrangement]], None]


@dataclass(frozen=True)
class Solved:
    """What became of a skeleton: totals and bounds in thousandths of a point (see ``Scale``)."""

    skeleton: Skeleton
    scale: Scale | None
    arrangement: Arrangement | None
    total: int
    bound: int
    proved: bool
    decided: bool  # whether it is known if there is any arrangement
    excused: frozenset[str] = frozenset()  # names of the rules that held notes break


def post_objective(model: PitchModel, scale: Scale, above: int | None = None) -> None:
    """Maximise the total, as far as pitches decide it; only what is ``above`` counts. Raises Stopped."""
    variables: list[cp_model.IntVar] = []
    coefficients: list[int] = []
    constant = 0
    for entry in scale.measured:
        if entry.merit.reward is None:
            continue
        model.go_on()
        reward = entry.merit.reward(model)
        for coefficient, variable in reward.terms:
            variables.append(variable)
            coefficients.append(entry.step * coefficient)
        constant += entry.step * (reward.constant - entry.chance)
    total = cp_model.LinearExpr.weighted_sum(variables, coefficients) + constant
    if above is not None:
        model.cp.add(total >= above + 1)
    model.cp.maximize(total)


def rhythm_worth(plan: Plan, scale: Scale, skeleton: Skeleton) -> int:
    """Thousandths of the total that the rhythm alone decides."""
    return sum(
        entry.worth(entry.merit.measure_rhythm(plan, skeleton.onsets))
        for entry in scale.measured
        if entry.merit.measure_rhythm is not None
    )


class Watch:
    """Ends all running solvers when it is asked to; ``due`` is looked at every tenth of a second.

    ``building`` is held while a model is built: two that are built at once take turns at every step, so that both are
    late, where the first could be solved while the second is built.
    """

    def __init__(self, due: Callable[[], bool]) -> None:
        self.building = threading.Lock()
        self._due = due
        self._running: set[cp_model.CpSolver] = set()
        self._lock = threading.Lock()
        self._closed = threading.Event()
        self.stopped = False
        self._thread = threading.Thread(target=self._look, daemon=True)
        self._thread.start()

    def _look(self) -> None:
        while not self._closed.wait(0.1):
            if self.stopped or self._due():
                self.stopped = True
                with self._lock:
                    for solver in self._running:
                        solver.stop_search()

    def solve(
        self,
        solver: cp_model.CpSolver,
        model: cp_model.CpModel,
        callback: cp_model.CpSolverSolutionCallback | None = None,
    ) -> cp_model.CpSolverStatus:
        """Solve under watch; returns the status."""
        with self._lock:
            self._running.add(solver)
        try:
            return solver.solve(model, callback)
        finally:
            with self._lock:
                self._running.discard(solver)

    def close(self) -> None:
        """Stop watching."""
        self._closed.set()
        self._thread.join()


class _Told(cp_model.CpSolverSolutionCallback):
    """Tells of each solution as it is found."""

    def __init__(self, found: Callable[[cp_model.CpSolverSolutionCallback], None]) -> None:
        super().__init__()
        self._found = found

    def on_solution_callback(self) -> None:
        self._found(self)


def solver_for(limit: float) -> cp_model.CpSolver:
    """A solver that gives the same answer everywhere: one worker, bounds from cores, a deterministic limit.

    Sets of rewards that cannot all be had (cores) bound this model sooner than its linear relaxation does: of the first
    six rhythms of ferry-lights all are proved, in 0.6 to 6.9 deterministic seconds, where full linearization proved two
    in 7 and ended 1.4 to 2 % short with the others. No relaxation is solved beside the cores: it slows them.
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


def solvers_for_blocks(limit: float, blocks: int) -> list[cp_model.CpSolver]:
    """A solver for each block: what repeats may take longest."""
    each = STATEMENTS * limit / (blocks - 1)
    return [solver_for(REPEATING * limit), *(solver_for(each) for _ in range(blocks - 1))]


def with_leads_kept(model: PitchModel, states: Mapping[str, tuple[State, ...]]) -> cp_model.CpModel:
    """The model, begun with as it is, in which the leads keep their states."""
    kept = cp_model.CpModel()
    kept.proto.copy_from(model.cp.proto)
    for part in model.plan.with_role("lead"):
        for slot, state in zip(model.skeleton.slots[part.name], states[part.name], strict=True):
            for literal in model.literals(part, slot.index, lambda s, kept=state: s == kept):
                kept.add(kept.get_bool_var_from_proto_index(literal.index) == 1)
    return kept


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


def solve_skeleton(
    plan: Plan,
    skeleton: Skeleton,
    watch: Watch,
    *,
    limit: float = LIMIT,
    above: int | None = None,
    found: Found = lambda total, scale, notes: None,
    extra: Callable[[PitchModel], None] = lambda model: None,
) -> Solved:
    """The best arrangement of a skeleton, of those ``above`` a total where one is given.

    ``found`` is told of each solution, ``watch`` may end the search, ``extra`` posts what is to hold besides the rules.
    """
    nothing = Solved(skeleton, None, None, 0, 0, False, False)
    with watch.building:
        if watch.stopped:
            return nothing
        try:
            model = PitchModel(plan, skeleton, stopped=lambda: watch.stopped)
            scale = scale_for(plan, skeleton, plan.weights)
            worth = rhythm_worth(plan, scale, skeleton)
            extra(model)
            if not model.kept:
                post_objective(model, scale, None if above is None else above - worth)
        except (NoState, Stopped) as ended:
            return replace(nothing, decided=isinstance(ended, NoState))
    if model.kept:
        status = give_up(model, solver_for(limit), watch)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return replace(nothing, decided=status == cp_model.INFEASIBLE)
        try:
            post_objective(model, scale, None if above is None else above - worth)
        except Stopped:
            return nothing
    own = len({(name, slot.home) for name, slots in skeleton.slots.items() for slot in slots})
    blocks = blocks_of(plan, skeleton) if own >= MANY else []

    def tell(solution: cp_model.CpSolverSolutionCallback) -> None:
        found(
            round(solution.objective_value) + worth,
            scale,
            lambda: ornamented(plan, arrangement_from(plan, skeleton, model.read(solution.value))),
        )

    status, bound, found_best, states = cp_model.UNKNOWN, math.inf, -math.inf, None
    for solver in solvers_for(limit, own, len(blocks)):
        status = watch.solve(solver, model.cp, _Told(tell))
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            states, found_best = model.read(solver.value), solver.objective_value
            bound = min(bound, round(solver.best_objective_bound) + worth)
            model.begin_with(solver)
        if status in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
            break
    if states is None:
        return replace(nothing, decided=status == cp_model.INFEASIBLE)
    if blocks and status == cp_model.FEASIBLE and not watch.stopped:
        # Neighbourhoods are small; cores find in a second what all other parts could play under the same leads.
        around = solver_for(AROUND * limit)
        ended = watch.solve(around, with_leads_kept(model, states), _Told(tell))
        if ended in (cp_model.OPTIMAL, cp_model.FEASIBLE) and around.objective_value > found_best:
            states = model.read(around.value)
        solvers = solvers_for_blocks(limit, len(blocks))
        bound = min(bound, bound_by_blocks(model, blocks, solvers, watch.solve) + worth)
    arrangement = ornamented(plan, arrangement_from(plan, skeleton, states))
    total = scale.total(scale.counts(Heard(plan, arrangement)))
    excused = frozenset(model.excused) | broken_rhythms(plan, skeleton)
    bound = max(int(bound), total)
    return Solved(skeleton, scale, arrangement, total, bound, bound == total, True, excused)
