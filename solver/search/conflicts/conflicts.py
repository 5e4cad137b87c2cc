"""From a plan without any arrangement to its minimal conflicts, each verified on every rhythm that was tried."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.search.conflicts.finder import independent_conflicts, minimal_conflict
from solver.search.conflicts.lines import GLOBAL, Line
from solver.search.conflicts.oracle import Oracle, Rhythm


@dataclass(frozen=True)
class Tried:
    """Rhythms of a plan in the order of the search; ``every`` says that there are no others in its families."""

    rhythms: tuple[Rhythm, ...]
    every: bool


def first_conflict(oracle: Oracle, tried: Tried, members: Sequence[Line] | None = None) -> tuple[Line, ...]:
    """A minimal conflict among some lines (all where none are given) that holds on each rhythm tried; empty where there
    is none. Raises Undecided or NotMinimal where it cannot be told."""
    parts = [frozenset(line for line in oracle.lines if line.part == part.name) for part in oracle.plan.parts]
    while True:
        asked = _in_order(oracle.lines) if members is None else members
        conflict = minimal_conflict(asked, oracle.feasible, oracle.core, parts)
        other = _rhythm_that_suits(oracle, conflict, tried) if conflict else None
        if other is None:
            return conflict
        oracle.also(other)


def conflicts_of(oracle: Oracle, tried: Tried) -> list[tuple[Line, ...]]:
    """Up to three independent minimal conflicts. Raises Undecided or NotMinimal where they cannot be told."""
    found = independent_conflicts(
        _in_order(oracle.lines),
        lambda members: first_conflict(oracle, tried, members),
        shared=lambda line: line.kind in GLOBAL,
    )
    # As they stand in the brief; what no line says comes last.
    return [tuple(sorted(conflict, key=lambda line: (line.line is None, line.line or 0))) for conflict in found]


def _in_order(lines: tuple[Line, ...]) -> list[Line]:
    """The lines that say the most last, for those are the last to be left out of a conflict."""
    from_role = [line for line in lines if line.line is None]
    roles = [line for line in lines if line.line is not None and line.kind in ("role", "instrument")]
    return [*roles, *from_role, *(line for line in lines if line not in roles and line not in from_role)]


def _rhythm_that_suits(oracle: Oracle, conflict: tuple[Line, ...], tried: Tried) -> Rhythm | None:
    """A rhythm on which these lines can hold together after all."""
    asked = (rhythm for rhythm in tried.rhythms if rhythm not in oracle.rhythms)
    return next((rhythm for rhythm in asked if oracle.holds_on(frozenset(conflict), rhythm)), None)
