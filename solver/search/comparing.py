"""Many rhythms compared for the best: their bounds, and the branch and bound over them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton, skeleton_from
from solver.search.cp_sat import cp_model
from solver.search.line_bounds import LineBounds, Rhythm
from solver.search.scale import UNIT, Scale
from solver.search.solve import Solved, Watch
from solver.search.solvers import solver_for
from solver.search.sweep import Sweep, sweep

LINE_LIMIT = 1.0  # deterministic seconds for what a line loses by itself
NEVER = -1000 * UNIT  # a total below all others: of a line without any arrangement
ROUNDING = 1e-6

# Solves a skeleton, by its number too, for a total above one, or for any, in a share of the limit; its scale is known.
Solve = Callable[[Skeleton, int, int | None, float, Scale], Solved]

LESS = 0.5  # the share of the limit for what cannot be the best of all


def compare(
    plan: Plan,
    rhythms: Sequence[Rhythm],
    solve: Solve,
    enough: Callable[[Sequence[Solved]], bool],
    watch: Watch,
    cores: int,
    on_solved: Callable[[Skeleton, int], None],
) -> Sweep:
    """Sweep rhythms of a plan; ``enough`` and ``on_solved`` as there, the latter told of skeletons."""

    def most_of(model: cp_model.CpModel) -> int | None:
        solver = solver_for(LINE_LIMIT)
        status = watch.solve(solver, model)
        if status == cp_model.INFEASIBLE:
            return NEVER
        known = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return math.floor(solver.best_objective_bound + ROUNDING) if known else None

    lead = next(iter(plan.with_role("lead")), plan.by_rank[0]).name
    bounds = LineBounds(plan, rhythms, most_of, lambda: watch.stopped)

    def skeleton_of(number: int) -> Skeleton:
        return skeleton_from(plan, rhythms[number])

    with ThreadPoolExecutor(max_workers=cores) as pool:
        bounds.learn(pool)
        return sweep(
            [bounds.close(number) for number in range(len(rhythms))],
            [bounds.closer],
            [rhythm[lead] for rhythm in rhythms],
            lambda number, above, may_win: solve(
                skeleton_of(number), number, above, 1.0 if may_win else LESS, bounds.scales.pop(number)
            ),
            enough,
            pool,
            lambda number, settled: on_solved(skeleton_of(number), settled),
            lambda: watch.stopped,
        )
