"""Blocks bound a long loop: never below its best, and the same each time."""

from __future__ import annotations

from itertools import count
from random import Random

import pytest

from solver.rhythm.skeletons import skeletons
from solver.search.blocks import Slots, blocks_of, bound_by_blocks, shared_out, slots_of_variables, variables_of
from solver.search.cp_sat import cp_model
from solver.search.model import NoState, PitchModel
from solver.search.scale import scale_for
from solver.search.solve import Watch, post_objective, solve_skeleton
from solver.search.solvers import AROUND, solver_for, solvers_for, solvers_for_blocks
from tests.rules.small import plan_of
from tests.search.random_briefs import random_case

LIMIT = 0.2
CASES = 12
FOUR_STATEMENTS = 'bars = 8; chords = ["C", "F"]; chord_bars = 1; grid = 8'

Case = tuple[PitchModel, list[Slots], int]


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    """Models of small random briefs that have blocks, with the best total that is proved."""
    found: list[Case] = []
    numbers = count()
    while len(found) < CASES:
        case = random_case(Random(f"blocks {next(numbers)}"))
        blocks = blocks_of(case.plan, case.skeleton, fewest=2) if case is not None else []
        if case is None or not blocks:
            continue
        try:
            model = PitchModel(case.plan, case.skeleton)
        except NoState:
            continue
        post_objective(model, scale_for(case.plan, case.skeleton, case.plan.weights))
        solver = solver_for(LIMIT)
        if solver.solve(model.cp) == cp_model.OPTIMAL:
            found.append((model, blocks, round(solver.objective_value)))
    return found


def _bound(model: PitchModel, blocks: list[Slots], limit: float) -> float:
    solvers = [solver_for(limit) for _ in blocks]
    return bound_by_blocks(model, blocks, solvers, lambda solver, part: solver.solve(part))


def test_no_bound_is_below_the_proven_best(cases: list[Case]) -> None:
    """Those of blocks that are not solved to their best are not, either."""
    above = [_bound(model, blocks, LIMIT) - best for model, blocks, best in cases]
    assert min(above) >= 0
    assert sorted(above)[len(above) // 2] < 1000, "half of the bounds are within a point"
    assert all(_bound(model, blocks, 2e-3) >= best for model, blocks, best in cases)


def test_the_blocks_parts_are_the_whole_objective(cases: list[Case]) -> None:
    for model, blocks, _ in cases:
        constraints = [variables_of(constraint) for constraint in model.cp.proto.constraints]
        parts = shared_out(model, slots_of_variables(model, constraints, blocks), blocks)
        assert sum(bool(part) for part in parts) > 1
        objective = model.cp.proto.objective
        summed = {v: sum(part[v] for part in parts) for v in objective.vars}
        assert summed == {v: -cost for v, cost in zip(objective.vars, objective.coeffs, strict=True)}


def test_a_block_a_statement_and_one_for_what_repeats() -> None:
    plan = plan_of(FOUR_STATEMENTS, lead="repeat_every = 2", low="")
    skeleton = next(iter(skeletons(plan, 0)))
    blocks = blocks_of(plan, skeleton)
    assert len(blocks) == 5
    assert {name for name, _ in blocks[0]} == {"lead"}
    low = [sorted(home for name, home in block if name == "low") for block in blocks[1:]]
    assert [homes[-1] for homes in low[:-1]] == [homes[0] for homes in low[1:-1]] + [low[3][1]], "the next one's first"
    assert low[3][0] == 0, "the last leads back to the start"


@pytest.mark.parametrize(
    ("keys", "parts"),
    [
        ("bars = 4; chord_bars = 4; grid = 8", {"lead": "repeat_every = 2", "low": ""}),
        (FOUR_STATEMENTS, {"lead": "repeat_every = 2"}),
        (FOUR_STATEMENTS, {"low": ""}),
    ],
)
def test_no_blocks(keys: str, parts: dict[str, str]) -> None:
    """Two statements are too few; where all parts repeat, or none, there is nothing to part."""
    plan = plan_of(keys, **parts)
    assert blocks_of(plan, next(iter(skeletons(plan, 0)))) == []


def test_a_long_loop_is_bounded_by_blocks_the_same_each_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.search.solve.MANY", 0)
    plan = plan_of(FOUR_STATEMENTS, lead="repeat_every = 2", low="", middle='role = "background"')
    skeleton = next(iter(skeletons(plan, 0)))
    watch = Watch(lambda: False)
    try:
        one, other = (solve_skeleton(plan, skeleton, watch, limit=0.2) for _ in range(2))
        whole = solve_skeleton(plan, skeleton, watch, limit=0.5)
    finally:
        watch.close()
    assert one == other
    assert one.arrangement is not None
    assert one.total <= whole.total <= whole.bound
    assert whole.total <= one.bound


def test_all_solvers_together_keep_to_the_limit() -> None:
    solvers = [*solvers_for(7.0, 1000, blocks=5), solver_for(AROUND * 7.0), *solvers_for_blocks(7.0, 5)]
    assert sum(solver.parameters.max_deterministic_time for solver in solvers) == pytest.approx(7.0)
