"""Literals for pairs of two slots' states: the arcs of a flow, and products that are exact in their marginals."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from solver.search.cp_sat import cp_model
from solver.search.moves import Arc, Literal, States, Way
from solver.search.state import State

Kinds = tuple[States, tuple[list[Literal], ...]]  # what a move tells apart at a slot, each with its literals


def arcs_along(cp: cp_model.CpModel, found: Iterable[Way], before: Kinds, after: Kinds) -> tuple[Arc, ...]:
    """A literal for each way from a slot to the next, and between them as much flow as the slots' states have."""
    (states_a, literals_a), (states_b, literals_b) = before, after
    arcs: list[Arc] = []
    leaving: list[list[Literal]] = [[] for _ in states_a]
    arriving: list[list[Literal]] = [[] for _ in states_b]
    for i, j in found:
        literal = cp.new_bool_var("")
        arcs.append(Arc(states_a[i], states_b[j], literal))
        leaving[i].append(literal)
        arriving[j].append(literal)
    for here, out in (*zip(literals_a, leaving, strict=True), *zip(literals_b, arriving, strict=True)):
        cp.add(cp_model.LinearExpr.sum(out) == cp_model.LinearExpr.sum(here))
    return tuple(arcs)


def products(
    cp: cp_model.CpModel,
    rows: tuple[States, Sequence[Literal]],
    columns: tuple[States, Sequence[Literal]],
    fit: Callable[[State, State], bool],
) -> tuple[tuple[State, State, Literal], ...]:
    """A literal for each pair of states that fit: true where both are; pairs that do not fit are never both."""
    table: list[tuple[State, State, Literal]] = []
    by_row: list[list[Literal]] = [[] for _ in rows[0]]
    by_column: list[list[Literal]] = [[] for _ in columns[0]]
    for i, one in enumerate(rows[0]):
        for j, other in enumerate(columns[0]):
            if fit(one, other):
                literal = cp.new_bool_var("")
                table.append((one, other, literal))
                by_row[i].append(literal)
                by_column[j].append(literal)
    for literals, own in (*zip(by_row, rows[1], strict=True), *zip(by_column, columns[1], strict=True)):
        cp.add(cp_model.LinearExpr.sum(literals) == own)
    return tuple(table)
