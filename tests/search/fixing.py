"""Solving a small pitch model with pitches that are given, and as it likes."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random
from typing import Any

from ortools.sat.python import cp_model

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton
from solver.search.model import NoState, PitchModel
from solver.search.notes import arrangement_from
from solver.search.solvers import solver_for
from solver.search.state import State

Line = tuple[tuple[int, ...], ...]  # the pitches of each of a part's strokes
LIMIT = 20.0


def model_of(plan: Plan, skeleton: Skeleton) -> PitchModel | None:
    """The pitch model with every rule and no objective; None where a slot is left without a state."""
    try:
        return PitchModel(plan, skeleton)
    except NoState:
        return None


def any_solution(model: PitchModel, random: Random) -> Arrangement | None:
    """A solution that a generator's number leads the solver to; None where there is none."""
    solver = solver_for(LIMIT)
    solver.parameters.random_seed = random.randrange(2**31)
    solver.parameters.randomize_search = True
    solver.parameters.linearization_level = 1
    status = solver.solve(model.cp)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    if status == cp_model.INFEASIBLE:
        return None
    return arrangement_from(model.plan, model.skeleton, model.read(solver.value))


def lines_of(plan: Plan, arrangement: Arrangement) -> dict[str, Line]:
    """The pitches of each part's strokes."""
    return {
        part.name: tuple(tuple(note.pitch for note in stroke) for stroke in arrangement.strokes(part.name))
        for part in plan.parts
    }


def arrangement_of(plan: Plan, skeleton: Skeleton, lines: Mapping[str, Line]) -> Arrangement:
    """The arrangement that plays these pitches in a skeleton's slots, strings and frets left open."""
    states = {name: tuple(State(pitches) for pitches in line) for name, line in lines.items()}
    return arrangement_from(plan, skeleton, states)


def fixed(model: PitchModel, lines: Mapping[str, Line]) -> tuple[cp_model.CpModel, bool]:
    """A copy of the model in which these pitches are fixed, and whether each slot has a state that sounds so."""
    clone = model.cp.clone()
    known = True
    for part in model.plan.parts:
        for slot, pitches in zip(model.skeleton.slots[part.name], lines[part.name], strict=True):
            literals = model.literals(part, slot.index, lambda state, pitches=pitches: state.pitches == pitches)
            known = known and bool(literals)
            clone.add(cp_model.LinearExpr.sum([variable_in(clone, literal) for literal in literals]) == 1)
    return clone, known


def is_feasible(model: PitchModel | None, lines: Mapping[str, Line]) -> bool:
    """Whether the model allows exactly these pitches."""
    if model is None:
        return False
    clone, known = fixed(model, lines)
    if not known:
        return False
    status = solver_for(LIMIT).solve(clone)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return status == cp_model.OPTIMAL


def variable_in(clone: cp_model.CpModel, variable: Any) -> cp_model.IntVar:
    """The variable of a copy that stands for one of the model."""
    return clone.get_int_var_from_proto_index(variable.index)
