"""Where in time the lines of a conflict collide, and which rules meet there."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from solver.search.conflicts.explaining_model import NoStateAt
from solver.search.conflicts.lines import Line
from solver.search.conflicts.oracle import Oracle
from solver.search.conflicts.questions import SHORT, new_solver
from solver.search.conflicts.relaxing import relaxed
from solver.search.conflicts.rhythm_model import RhythmModel
from solver.search.cp_sat import cp_model
from solver.search.moves import Literal

Named = TypeVar("Named", bound=Hashable)

MOST = 24  # assumptions that are tried one by one


@dataclass(frozen=True)
class Collision:
    """The slot where lines collide (None where that is not one place) and the names of the rules that meet there."""

    slot: int | None
    rules: tuple[str, ...]


def collision_of(oracle: Oracle, conflict: tuple[Line, ...]) -> Collision:
    """Where a conflict's lines collide, on the first of the oracle's rhythms."""
    kept = frozenset(conflict)
    plan = relaxed(oracle.plan, kept, oracle.lines)
    grid = plan.metre.grid
    if oracle.of_rhythm:
        model = RhythmModel(plan, frozenset(line.key for line in kept), oracle.known, assumed=True)
        demands = _core(model.cp, model.assumptions)
        bars = {bar for one in demands for bar in range(one.start // grid, (one.end - 1) // grid + 1)}
        where = min((one.start for one in demands if one.end - one.start < grid), default=None)
        first = where if where is not None else min((one.start for one in demands), default=0)
        return Collision(first if len(bars) == 1 else None, _names(one.rule for one in demands))
    try:
        model = oracle.pitches(plan, kept, oracle.rhythms[0], assumed=True, placed=True)
    except NoStateAt as none:
        return Collision(none.slot, ())
    instances = _core(model.model, model.assumptions)
    slots = {model.skeleton.slots[part][home].onset for one in instances for part, home in one.places}
    one_place = len({slot // grid for slot in slots}) == 1
    return Collision(min(slots) if one_place else None, _names(one.rule for one in instances))


def _names(rules: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(rules))


def _core(cp: cp_model.CpModel, assumptions: Mapping[Named, Literal]) -> list[Named]:
    """Assumptions without any one of which the rest would do; what takes too long to tell stays."""
    solver = new_solver(SHORT)
    cp.clear_assumptions()
    cp.add_assumptions(list(assumptions.values()))
    if solver.solve(cp) != cp_model.INFEASIBLE:
        return []
    named = set(solver.sufficient_assumptions_for_infeasibility())
    kept = [key for key, literal in assumptions.items() if literal.index in named]
    for key in list(kept) if len(kept) <= MOST else ():
        fewer = [other for other in kept if other != key]
        cp.clear_assumptions()
        cp.add_assumptions([assumptions[other] for other in fewer])
        if new_solver(SHORT).solve(cp) == cp_model.INFEASIBLE:
            kept = fewer
    return kept
