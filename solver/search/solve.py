"""Solving one skeleton: the pitch model with its objective, to the proven best or to a deterministic limit."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.rhythm.skeleton import Skeleton
from solver.search.blocks import blocks_of, bound_by_blocks
from solver.search.cp_sat import Model, cp_model
from solver.search.excuses import broken_rhythms
from solver.search.excusing import give_up
from solver.search.model import NoState, PitchModel, Stopped
from solver.search.notes import arrangement_from
from solver.search.ornaments import ornamented
from solver.search.scale import Scale, scale_for
from solver.search.solvers import AROUND, MANY, refuters_for, solver_for, solvers_for, solvers_for_blocks
from solver.search.state import State

# Deterministic seconds for one skeleton: about two real ones each on a machine of 2026 with a skeleton on every core.
LIMIT = 7.0

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


def post_objective(model: PitchModel, scale: Scale) -> None:
    """Maximise the total, as far as pitches decide it. Raises Stopped."""
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
    model.cp.maximize(cp_model.LinearExpr.weighted_sum(variables, coefficients) + constant)


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


class _Refuted:
    """Ends a solver whose bound shows that nothing is above ``least``.

    To ask for more as a constraint takes many times as long: it ties all rewards together, and no cores are found.
    """

    def __init__(self, solver: cp_model.CpSolver, least: int) -> None:
        self._solver, self._least, self.shown = solver, least, False
        solver.best_bound_callback = self._look

    def _look(self, bound: float) -> None:
        if round(bound) <= self._least:
            self.shown = True
            self._solver.stop_search()


class _Told(cp_model.CpSolverSolutionCallback):
    """Tells of each solution as it is found."""

    def __init__(self, found: Callable[[cp_model.CpSolverSolutionCallback], None]) -> None:
        super().__init__()
        self._found = found

    def on_solution_callback(self) -> None:
        self._found(self)


def with_leads_kept(model: PitchModel, states: Mapping[str, tuple[State, ...]]) -> cp_model.CpModel:
    """The model, begun with as it is, in which the leads keep their states."""
    kept = Model()
    kept.proto.copy_from(model.cp.proto)
    for part in model.plan.with_role("lead"):
        for slot, state in zip(model.skeleton.slots[part.name], states[part.name], strict=True):
            for literal in model.literals(part, slot.index, lambda s, kept=state: s == kept):
                kept.add(kept.get_bool_var_from_proto_index(literal.index) == 1)
    return kept


def solve_skeleton(
    plan: Plan,
    skeleton: Skeleton,
    watch: Watch,
    *,
    limit: float = LIMIT,
    above: int | None = None,
    scale: Scale | None = None,
    found: Found = lambda total, scale, notes: None,
    extra: Callable[[PitchModel], None] = lambda model: None,
) -> Solved:
    """The best arrangement of a skeleton; none where it is known that no total is ``above`` one that is given.

    ``scale`` is the skeleton's, where it is known. ``found`` is told of each solution, ``watch`` may end the search,
    ``extra`` posts what is to hold besides the rules.
    """
    nothing = Solved(skeleton, None, None, 0, 0, False, False)
    with watch.building:
        if watch.stopped:
            return nothing
        try:
            model = PitchModel(plan, skeleton, stopped=lambda: watch.stopped)
            scale = scale or scale_for(plan, skeleton, plan.weights)
            worth = rhythm_worth(plan, scale, skeleton)
            extra(model)
            if not model.kept:
                post_objective(model, scale)
        except (NoState, Stopped) as ended:
            return replace(nothing, decided=isinstance(ended, NoState))
    if model.kept:
        status = give_up(model, solver_for(limit), watch)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return replace(nothing, decided=status == cp_model.INFEASIBLE)
        try:
            post_objective(model, scale)
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
    solvers = solvers_for(limit, own, len(blocks)) if above is None or blocks else refuters_for(limit)
    for solver in solvers:
        refuted = _Refuted(solver, above - worth) if above is not None else None
        status = watch.solve(solver, model.cp, _Told(tell))
        solver.best_bound_callback = None  # it refers to the solver: both would be kept until cycles are collected
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            states, found_best = model.read(solver.value), solver.objective_value
            bound = min(bound, round(solver.best_objective_bound) + worth)
            model.begin_with(solver)
        if refuted is not None and refuted.shown:
            return replace(nothing, decided=True)
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
