"""How large the pitch model is and what makes it smaller: variables, constraints, building, first solution, proof.

``as it is`` is the product's own model. ``states uncut`` poses what rules forbid of single notes as constraints, where
the model has no such states (chord and key cut them; the hand's position is a constraint in both). ``arcs uncut`` does
the same with moves. A warm start hints at the states that a neighbouring rhythm's best solution has where both start a
note. All on the first rhythms. The first solution and the end of a search are given in deterministic seconds, which
are the same on every machine; building, and a good solution on the way, in CPU seconds.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import islice

from ortools.sat.python import cp_model

from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.rhythm.skeleton import Skeleton
from solver.rhythm.skeletons import skeletons
from solver.rules import every_rule
from solver.rules.rule import Rule
from solver.search.model import PitchModel, Stopped
from solver.search.moves import by_kind
from solver.search.scale import scale_for
from solver.search.solve import LIMIT, post_objective
from solver.search.solvers import solvers_for
from solver.search.state import State
from tests.bench.command import FERRY_LIGHTS
from tests.bench.figure import Bench, Figure
from tests.bench.growth import with_bars

BARS = (4, 8, 16, 32)
MORE_PARTS = """
[parts.answer]
role = "counter"

[parts.strum]
role = "chords"
instrument = "acoustic guitar"
"""
PARTS = {3: "", 5: MORE_PARTS}
PATIENCE = 120.0  # CPU seconds for building a model: without cuts that of a long loop takes minutes
WARM_BRIEFS = ("ferry-lights", "gangway-at-low-water", "five-buoys", "lamp-on-pier-four")
PAIRS = 2  # of neighbouring rhythms, for each brief
NEAR = 0.98  # of the best total: a first good solution
RHYTHMS = 24  # that are looked through for copies of one another

States = Mapping[tuple[str, int], State]  # by part and onset


@dataclass(frozen=True)
class Solving:
    """Deterministic seconds to the first solution and the end, CPU seconds to a good one; the best total, its bound."""

    first: float
    good: float
    end: float
    total: float
    bound: float
    states: States

    @property
    def proof(self) -> str:
        """When the best was proved, or the gap that was left."""
        if self.total == self.bound:
            return f"proved {self.end:.2f}"
        return f"gap {100 * (self.bound - self.total) / abs(self.bound):.1f} %"


def figures(bench: Bench) -> list[Figure]:
    """Sizes for each length and number of parts, the uncut models beside the product's own, copies, warm starts."""
    found: list[Figure] = []
    for parts, more in PARTS.items():
        for bars in BARS:
            text = with_bars(FERRY_LIGHTS.read_text(encoding="utf-8"), bars) + more
            plan = plan_from_text(text, "ferry-lights")
            for name, rules in WAYS.items():
                bench.tell(f"{parts} parts, {bars} bars, {name}")
                found.append(of_model(f"{parts} parts, {bars} bars, {name}", plan, rules()))
    found.append(copies(plan_from_text(FERRY_LIGHTS.read_text(encoding="utf-8"), "ferry-lights")))
    for name in WARM_BRIEFS:
        bench.tell(f"warm start, {name}")
        text = FERRY_LIGHTS.with_name(f"{name}.toml").read_text(encoding="utf-8")
        found += warm_starts(name, plan_from_text(text, name))
    return found


def of_model(name: str, plan: Plan, rules: tuple[Rule, ...]) -> Figure:
    """One model: its size and what a solver makes of it; that it was not built, where that takes too long."""
    skeleton = next(skeletons(plan, plan.seed))
    began = time.process_time()
    try:
        model = PitchModel(plan, skeleton, rules, lambda: time.process_time() - began > PATIENCE)
        post_objective(model, scale_for(plan, skeleton, plan.weights))
    except Stopped:
        return Figure(name, f"not built within {PATIENCE:.0f} CPU s")
    built = time.process_time() - began
    proto = model.cp.proto
    size = f"{len(proto.variables)} variables, {len(proto.constraints)} constraints, built in {built:.2f} CPU s"
    solving = solved(model)
    made = f"first {solving.first:.2f}, {solving.proof}" if solving else "no solution"
    return Figure(name, size, "", f"{made}; {dead_ends(model)} dead ends")


def solved(model: PitchModel, begin: States | None = None) -> Solving | None:
    """What the product's solvers make of a model with its objective, from a hint where one is given; None where they
    find no solution."""
    told: list[tuple[float, float]] = []
    spent = 0.0

    class Each(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            told.append((time.process_time() - began, self.objective_value))

    model.cp.clear_hints()
    hinted: dict[int, cp_model.IntVar] = {}  # notes of a repeat share their literals
    for (part, onset), state in (begin or {}).items():
        for slot in model.skeleton.slots[part]:
            if slot.onset == onset:
                fitting = model.literals(model.plan.part(part), slot.index, lambda other, s=state: other == s)
                hinted |= {literal.index: literal for literal in fitting}
    for literal in hinted.values():
        model.cp.add_hint(literal, 1)
    slots = {(part, slot.home) for part, notes in model.skeleton.slots.items() for slot in notes}
    first = _first(model, len(slots))
    began = time.process_time()
    bound, states = float("inf"), None
    for solver in solvers_for(LIMIT, len(slots)):
        status = solver.solve(model.cp, Each())
        spent += solver.response_proto.deterministic_time
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            bound, states = min(bound, solver.best_objective_bound), model.read(solver.value)
            model.begin_with(solver)
        if status == cp_model.OPTIMAL:
            break
    if states is None:
        return None
    total = told[-1][1]
    good = next(when for when, value in told if value >= NEAR * total)
    by_onset = {
        (part, slot.onset): state
        for part, notes in model.skeleton.slots.items()
        for slot, state in zip(notes, states[part], strict=True)
    }
    return Solving(first, good, spent, total, bound, by_onset)


def _first(model: PitchModel, slots: int) -> float:
    """Deterministic seconds to the first solution: the solver's own time stands still while it tells of one."""
    solver = solvers_for(LIMIT, slots)[0]
    solver.parameters.stop_after_first_solution = True
    solver.solve(model.cp)
    return solver.response_proto.deterministic_time


def dead_ends(model: PitchModel) -> int:
    """States (of struck chords, top notes) that no way around the loop goes through, left in the model: what pruning
    by reach would still take."""
    dead = 0
    for part in model.plan.parts:
        homes = {home for move in model.moves(part) for home in (move.a, move.b)}
        told = {home: zip(*model.states_with_literals(part, home), strict=True) for home in homes}
        alive = {home: set(by_kind(part, *pairs)[0]) for home, pairs in told.items()}
        before = sum(map(len, alive.values()))
        size = -1
        while size != (size := sum(map(len, alive.values()))):
            for move in model.moves(part):
                arcs = [arc for arc in model.arcs(move) if arc.a in alive[move.a] and arc.b in alive[move.b]]
                alive[move.a] &= {arc.a for arc in arcs}
                alive[move.b] &= {arc.b for arc in arcs}
        dead += before - size
    return dead


def copies(plan: Plan) -> Figure:
    """How many of the first rhythms are another one turned by a pass, or with two parts of a role exchanged."""
    length = plan.spans[-1].end if plan.spans[-1].pass_index == 0 else _pass_slots(plan)
    seen: set[frozenset[tuple[str, tuple[int, ...]]]] = set()
    number = 0
    for skeleton in islice(skeletons(plan, plan.seed), RHYTHMS):
        turned = [_kinds(plan, skeleton, shift) for shift in range(0, plan.slots, length)]
        number += any(kind in seen for kind in turned)
        seen.add(turned[0])
    return Figure(f"of {RHYTHMS} rhythms, copies of another by turning the loop or exchanging parts", str(number))


def _pass_slots(plan: Plan) -> int:
    return next(span.start for span in plan.spans if span.pass_index == 1)


def _kinds(plan: Plan, skeleton: Skeleton, shift: int) -> frozenset[tuple[str, tuple[int, ...]]]:
    return frozenset(
        (plan.part(name).role, tuple(sorted((onset + shift) % plan.slots for onset in onsets)))
        for name, onsets in skeleton.onsets.items()
    )


def warm_starts(name: str, plan: Plan) -> list[Figure]:
    """Pairs of rhythms, the second cold and from the best of the first; those without a solution are passed over."""
    found: list[Figure] = []
    before: Solving | None = None
    for skeleton in skeletons(plan, plan.seed):
        cold = solved(_with_objective(plan, skeleton))
        if cold is None:
            continue
        warm = solved(_with_objective(plan, skeleton), _shared(before.states, skeleton)) if before else None
        if warm:
            number = len(found) + 1
            value = f"first {cold.first:.2f} to {warm.first:.2f}, {cold.proof} to {warm.proof}"
            found.append(Figure(f"cold to warm, {name}, pair {number}", value, "", _good(cold, warm)))
        before = cold
        if len(found) == PAIRS:
            break
    return found


def _good(cold: Solving, warm: Solving) -> str:
    """When each has a first good solution; the totals where they differ."""
    better = f"; total {100 * (warm.total - cold.total) / abs(cold.total):+.1f} %" if warm.total != cold.total else ""
    return f"good {cold.good:.2f} to {warm.good:.2f} CPU s{better}"


def _with_objective(plan: Plan, skeleton: Skeleton) -> PitchModel:
    model = PitchModel(plan, skeleton)
    post_objective(model, scale_for(plan, skeleton, plan.weights))
    return model


def _shared(states: States, skeleton: Skeleton) -> States:
    return {place: state for place, state in states.items() if place[1] in skeleton.onsets[place[0]]}


def states_uncut() -> tuple[Rule, ...]:
    """The rules, with what they forbid of single notes posted."""
    return tuple(rule if rule.allows_state is None else _posting_states(rule) for rule in every_rule())


def arcs_uncut() -> tuple[Rule, ...]:
    """The rules, with what they forbid of moves posted."""
    return tuple(rule if rule.allows_move is None else _posting_moves(rule) for rule in every_rule())


def _posting_states(rule: Rule) -> Rule:
    def post(model: PitchModel) -> None:
        for part in model.plan.parts:
            for slot in model.skeleton.slots[part.name]:
                model.go_on()
                for state, literal in model.states_with_literals(part, slot.home):
                    if rule.allows_state and not rule.allows_state(model.plan, part, slot.onset, state):
                        model.cp.add(literal == 0)
        if rule.post is not None:
            rule.post(model)

    return replace(rule, allows_state=None, post=post)


def _posting_moves(rule: Rule) -> Rule:
    def post(model: PitchModel) -> None:
        for part in model.plan.parts:
            for move in model.moves(part):
                model.go_on()
                for arc in model.arcs(move):
                    allows = rule.allows_move or (lambda *asked: True)
                    if not all(allows(model.plan, part, a, arc.a, b, arc.b) for a, b in move.times):
                        model.cp.add(arc.literal == 0)
        if rule.post is not None:
            rule.post(model)

    return replace(rule, allows_move=None, post=post)


WAYS: dict[str, Callable[[], tuple[Rule, ...]]] = {
    "as it is": every_rule,
    "states uncut": states_uncut,
    "arcs uncut": arcs_uncut,
}
