"""Literals for pairs of two slots' states: the arcs of a flow, and what two slots lose together."""

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


def lost_together(
    cp: cp_model.CpModel,
    rows: tuple[States, Sequence[Literal]],
    columns: tuple[States, Sequence[Literal]],
    loss: Callable[[State, State], int],
) -> list[Literal]:
    """Literals of which so many are true as the states of two slots lose together, or more.

    Each states once what many pairs have in common: of these rows and these columns, all of which lose so much with
    each other, a slot each is one. For a loss by pitch class those are classes, for one by distance thresholds.
    """
    losses = [[loss(one, other) for other in columns[0]] for one in rows[0]]
    found: list[Literal] = []
    for least in range(1, max(map(max, losses)) + 1):
        literal = cp.new_bool_var("")
        for some, others in _all_lose(losses, least):
            one, other = (
                cp_model.LinearExpr.sum(x) for x in ([rows[1][i] for i in some], [columns[1][j] for j in others])
            )
            cp.add(one + other <= 1 + literal)
        found.append(literal)
    return found


def _all_lose(losses: Sequence[Sequence[int]], least: int) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Rows and columns of which each pair loses so much: all that a row loses with, all that a column loses with."""
    by_row = [frozenset(j for j, lost in enumerate(row) if lost >= least) for row in losses]
    by_column = [frozenset(i for i, row in enumerate(losses) if row[j] >= least) for j in range(len(losses[0]))]
    blocks = {(_containing(by_row, columns), tuple(sorted(columns))) for columns in by_row if columns}
    blocks |= {(tuple(sorted(rows)), _containing(by_column, rows)) for rows in by_column if rows}
    return sorted(blocks)


def _containing(sets: Sequence[frozenset[int]], part: frozenset[int]) -> tuple[int, ...]:
    return tuple(index for index, whole in enumerate(sets) if whole >= part)
