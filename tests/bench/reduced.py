"""The reduced problem in python-constraint and in CP-SAT, side by side in one run.

Reduced: one rhythm of ferry-lights, its states and the moves between them, which all rules about single notes and
about neighbours allow; no rule that ties more notes or parts together, no merits; the first solution. Both solvers
are given the same domains and pairs, each solution is held against them, and only the solving is timed, not what this
program does before to ask its rules. The whole model's rules, still without merits, follow for comparison.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import Any
from unittest.mock import patch

from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.rhythm.skeleton import Skeleton
from solver.rhythm.skeletons import skeletons
from solver.rules import every_rule
from solver.rules.rule import Rule
from solver.search.state import State
from tests.bench.command import FERRY_LIGHTS
from tests.bench.figure import Bench, Figure

Variable = str
Pairs = frozenset[tuple[State, State]]
Choice = dict[Variable, State]
LIMIT = 60.0  # deterministic seconds


@dataclass(frozen=True)
class Reduced:
    """Domains, and the pairs that two neighbouring variables may take."""

    domains: dict[Variable, tuple[State, ...]]
    moves: dict[tuple[Variable, Variable], Pairs]

    def holds(self, choice: Choice) -> bool:
        """Whether a choice is a solution."""
        inside = all(choice[name] in states for name, states in self.domains.items())
        return inside and all((choice[a], choice[b]) in pairs for (a, b), pairs in self.moves.items())


def figures(bench: Bench) -> list[Figure]:
    """Both solvers, and their ratio."""
    plan = plan_from(read_brief(FERRY_LIGHTS))
    skeleton = next(skeletons(plan, plan.seed))
    reduced = reduced_problem(plan, skeleton)
    plain = bench.repeated("python-constraint", lambda: _timed(by_backtracking(reduced), reduced))
    flow = bench.repeated("CP-SAT, reduced", lambda: _timed(by_flow(plan, skeleton, _single()), reduced))
    whole = bench.repeated("CP-SAT, all rules", lambda: _timed(by_flow(plan, skeleton, every_rule()), reduced))
    states = sum(len(states) for states in reduced.domains.values())
    return [
        _milliseconds(f"reduced, python-constraint ({len(reduced.domains)} notes, {states} states)", plain),
        _milliseconds("reduced, CP-SAT", flow),
        Figure("reduced, CP-SAT over python-constraint", f"{median(flow) / median(plain):.0f} times"),
        _milliseconds("all rules without merits, CP-SAT", whole),
    ]


def reduced_problem(plan: Plan, skeleton: Skeleton) -> Reduced:
    """States and moves as the model has them."""
    model = _model(plan, skeleton, _single())
    domains: dict[Variable, tuple[State, ...]] = {}
    moves: dict[tuple[Variable, Variable], Pairs] = {}
    for part in plan.parts:
        for home in sorted({slot.home for slot in skeleton.slots[part.name]}):
            domains[_name(part.name, home)] = tuple(model.states(part, home))
        for move in model.moves(part):
            pairs = frozenset((arc.a, arc.b) for arc in model.arcs(move))
            moves[_name(part.name, move.a), _name(part.name, move.b)] = pairs
    return Reduced(domains, moves)


def by_backtracking(reduced: Reduced) -> Callable[[], Choice | None]:
    """The problem posted; the function finds its first solution by backtracking without forward checking."""
    from constraint import BacktrackingSolver, Problem

    problem: Any = Problem(BacktrackingSolver(forwardcheck=False))
    for name, states in reduced.domains.items():
        problem.addVariable(name, list(states))
    for (a, b), pairs in reduced.moves.items():
        if a == b:  # a phrase that repeats at once moves from a note to itself
            problem.addConstraint(lambda state, pairs=pairs: (state, state) in pairs, (a,))
        else:
            problem.addConstraint(lambda one, other, pairs=pairs: (one, other) in pairs, (a, b))
    return problem.getSolution


def by_flow(plan: Plan, skeleton: Skeleton, rules: tuple[Rule, ...]) -> Callable[[], Choice | None]:
    """The pitch model posted without an objective; the function finds its first solution."""
    from ortools.sat.python import cp_model

    from solver.search.solve import solver_for

    model = _model(plan, skeleton, rules)

    def solve() -> Choice | None:
        solver = solver_for(LIMIT)
        if solver.solve(model.cp) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        states = model.read(solver.value)
        return {
            _name(part.name, slot.home): state
            for part in plan.parts
            for slot, state in zip(skeleton.slots[part.name], states[part.name], strict=True)
        }

    return solve


def _model(plan: Plan, skeleton: Skeleton, rules: tuple[Rule, ...]) -> Any:
    from solver.search.model import PitchModel

    with patch("solver.search.model.every_rule", lambda: rules):
        return PitchModel(plan, skeleton)


def _single() -> tuple[Rule, ...]:
    """The rules without what they post over more than two neighbouring notes."""
    return tuple(replace(rule, post=None) for rule in every_rule())


def _timed(solve: Callable[[], Choice | None], reduced: Reduced) -> float:
    began = time.perf_counter()
    choice = solve()
    took = time.perf_counter() - began
    if choice is None or not reduced.holds(choice):
        raise RuntimeError("a solver found no solution of the reduced problem, which has some")
    return took


def _milliseconds(name: str, values: Sequence[float]) -> Figure:
    spread = f"{1000 * min(values):.1f} to {1000 * max(values):.1f}"
    return Figure(name, f"{1000 * median(values):.1f} ms", spread=spread)


def _name(part: str, home: int) -> Variable:
    return f"{part} {home:04}"
