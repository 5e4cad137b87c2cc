"""Solving one skeleton: the pitch model with its objective, to the proven best or to a deterministic limit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.rhythm.skeleton import Skeleton
from solver.search.model import NoState, PitchModel
from solver.search.notes import arrangement_from
from solver.search.scale import Scale, scale_for

# Deterministic seconds for one skeleton: about as many real ones on a machine of 2026.
LIMIT = 15.0


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


def post_objective(model: PitchModel, scale: Scale, floors: bool) -> None:
    """Maximise the total. With ``floors`` no merit may fall below what chance reaches, where 0 points begin."""
    terms: list[tuple[int, cp_model.IntVar]] = []
    constant = 0
    heard_free = [entry for entry in scale.measured if entry.merit.reward is not None]
    for entry in heard_free:
        if entry.merit.reward is None:
            continue
        if not entry.is_open:
            constant += entry.step
            continue
        reward = entry.merit.reward(model)
        count = cp_model.LinearExpr.weighted_sum(
            [variable for _, variable in reward.terms], [coefficient for coefficient, _ in reward.terms]
        )
        if floors:
            model.cp.add(count + reward.constant >= entry.chance)
        terms += [(entry.step * coefficient, variable) for coefficient, variable in reward.terms]
        constant += entry.step * (reward.constant - entry.chance)
    model.cp.maximize(cp_model.LinearExpr.weighted_sum([v for _, v in terms], [c for c, _ in terms]) + constant)


def rhythm_worth(plan: Plan, scale: Scale, skeleton: Skeleton) -> int:
    """Thousandths of the total that the rhythm alone decides."""
    return sum(
        entry.worth(entry.merit.measure_rhythm(plan, skeleton.onsets))
        for entry in scale.measured
        if entry.merit.measure_rhythm is not None
    )


class _Watch(cp_model.CpSolverSolutionCallback):
    """Tells of each solution as it is found, and stops the solver when asked to."""

    def __init__(self, found: Callable[[], None], stop: Callable[[], bool]) -> None:
        super().__init__()
        self._found = found
        self._stop = stop

    def on_solution_callback(self) -> None:
        self._found()
        if self._stop():
            self.stop_search()


def solver_for(limit: float) -> cp_model.CpSolver:
    """A solver that gives the same answer everywhere: one worker, full linearization, a deterministic limit."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = limit
    return solver


def solve_skeleton(
    plan: Plan,
    skeleton: Skeleton,
    weights: Mapping[str, int],
    *,
    limit: float = LIMIT,
    found: Callable[[], None] = lambda: None,
    stop: Callable[[], bool] = lambda: False,
    extra: Callable[[PitchModel], None] = lambda model: None,
) -> Solved:
    """The best arrangement of a skeleton.

    ``found`` is called at each solution, ``stop`` ends the search where it returns true, ``extra`` posts what is to
    hold besides the rules. An arrangement in which a merit is worse than chance is given only where there is no other.
    """
    scale = scale_for(plan, skeleton, weights)
    undecided = False
    for floors in (True, False):
        try:
            model = PitchModel(plan, skeleton)
        except NoState:
            return Solved(skeleton, scale, None, 0, 0, False, True)
        extra(model)
        post_objective(model, scale, floors)
        solver = solver_for(limit)
        status = solver.solve(model.cp, _Watch(found, stop))
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            arrangement = arrangement_from(plan, skeleton, model.read(solver.value))
            total = scale.total(scale.counts(Heard(plan, arrangement)))
            bound = round(solver.best_objective_bound) + rhythm_worth(plan, scale, skeleton)
            return Solved(skeleton, scale, arrangement, total, max(bound, total), status == cp_model.OPTIMAL and floors, True)
        if status == cp_model.UNKNOWN:
            undecided = True
        if stop():
            break
    return Solved(skeleton, scale, None, 0, 0, False, not undecided)
