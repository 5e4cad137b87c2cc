"""All solutions of a small finite problem, by python-constraint's backtracking.

Constraints are plain functions over some of the variables. A function is called as soon as all of its own variables
have a value, so several functions over few variables cut a search short where one over all would not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeVar

from constraint import OptimizedBacktrackingSolver, Problem

Value = TypeVar("Value")
Rule = tuple[Callable[..., bool], Sequence[int]]  # a function, and the variables whose values it is given, in its order


def solutions(domains: Sequence[Sequence[Value]], rules: Iterable[Rule]) -> list[tuple[Value, ...]]:
    """Every choice of one value from each domain that keeps all rules, in no order that means anything.

    Variable ``i`` takes the values of ``domains[i]``. No domain, or an empty one, has no solution.
    """
    if not domains or not all(domains):
        return []
    # Without forward checking all solutions of a fretboard problem come twice as fast.
    problem: Any = Problem(OptimizedBacktrackingSolver(forwardcheck=False))
    for index, domain in enumerate(domains):
        problem.addVariable(index, list(domain))
    for function, variables in rules:
        problem.addConstraint(function, tuple(variables))
    order = range(len(domains))
    return [tuple(found[index] for index in order) for found in problem.getSolutions()]
