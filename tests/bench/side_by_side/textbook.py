"""The reduced problem as a textbook poses it to CP-SAT: a pitch variable for each note, tables, and modulo.

Rewards are looked up in tables. There are no literals of states and no flow.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ortools.sat.python import cp_model

from solver.search.solve import Watch
from tests.bench.side_by_side.problem import Reduced, Variable
from tests.bench.side_by_side.runs import Run, Stopwatch

Notes = Mapping[Variable, cp_model.IntVar]


def solve(reduced: Reduced, limit: float, *, first: bool) -> Run:
    """The first solution without an objective, or the best within ``limit`` CPU seconds, by one worker."""
    stopwatch = Stopwatch(limit)
    cp = cp_model.CpModel()
    notes = {
        name: cp.new_int_var_from_domain(cp_model.Domain.from_values(list(values)), name)
        for name, values in reduced.domains.items()
    }
    rewards = _tables(cp, reduced, notes, first=first)
    _post_tying(cp, reduced, notes)
    if not first:
        cp.maximize(sum(rewards) + reduced.constant)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    watch = Watch(lambda: stopwatch.is_over)
    status = watch.solve(solver, cp)
    watch.close()
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Run.of(reduced, None, stopwatch.seconds)
    choice = {name: solver.value(note) for name, note in notes.items()}
    return Run.of(reduced, choice, stopwatch.seconds, proved=status == cp_model.OPTIMAL and not first)


def _tables(cp: Any, reduced: Reduced, notes: Notes, *, first: bool) -> list[Any]:
    """Posts the moves; returns what moves, single notes and pairs are worth, unless only the first is wanted."""
    found: list[Any] = []
    for names, rows in reduced.tables:
        columns = [notes[name] for name in names]
        if not first:
            columns.append(cp.new_int_var_from_domain(cp_model.Domain.from_values([row[-1] for row in rows]), ""))
            found.append(columns[-1])
        cp.add_allowed_assignments(columns, [row[: len(columns)] for row in rows])
    if first:
        return []
    for (a, b), loss in reduced.same.items():
        same = cp.new_bool_var("")
        cp.add(notes[a] == notes[b]).only_enforce_if(same)
        cp.add(notes[a] != notes[b]).only_enforce_if(same.negated())
        found.append(loss * same)
    return found


def _post_tying(cp: Any, reduced: Reduced, notes: Notes) -> None:
    has: dict[tuple[Any, int], Any] = {}

    def equals(variable: Any, value: int) -> Any:
        if (variable.index, value) not in has:
            literal = has[variable.index, value] = cp.new_bool_var("")
            cp.add(variable == value).only_enforce_if(literal)
            cp.add(variable != value).only_enforce_if(literal.negated())
        return has[variable.index, value]

    classes = {name: cp.new_int_var(0, 11, "") for name in notes}
    for name, note in notes.items():
        cp.add_modulo_equality(classes[name], note, 12)
    for high, low in reduced.above:
        cp.add(notes[high] > notes[low])
    for pc, names in reduced.sounding:
        cp.add_bool_or([equals(classes[name], pc) for name in names])
    for group in reduced.own:
        owned = [cp.new_bool_var("") for _ in range(12)]
        cp.add_bool_or(owned)
        for pc, literal in enumerate(owned):
            cp.add_bool_or([literal.negated(), *(equals(classes[name], pc) for name in group.own)])
            for name in group.others:
                cp.add(classes[name] != pc).only_enforce_if(literal)
    for least, most, names in reduced.few:
        used = []
        for pitch in sorted({pitch for name in names for pitch in reduced.domains[name]}):
            used.append(cp.new_bool_var(""))
            cp.add_max_equality(used[-1], [equals(notes[name], pitch) for name in names])
        cp.add_linear_constraint(sum(used), least, most)
