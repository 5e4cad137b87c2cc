"""The reduced problem in python-constraint2: the rules as Python functions, plain backtracking.

The library looks for solutions, not for the best one; so all are gone through and the best is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from operator import gt
from typing import Any

from tests.bench.side_by_side.problem import Choice, Reduced, Variable, classes
from tests.bench.side_by_side.runs import OutOfTime, Run, Stopwatch


def solve(reduced: Reduced, limit: float, *, first: bool) -> Run:
    """The first solution, or the best within ``limit`` CPU seconds."""
    watch = Stopwatch(limit)
    best: Choice | None = None
    try:
        for choice in _solutions(reduced, watch):
            if best is None or reduced.total(choice) > reduced.total(best):
                best = choice
            if first:
                return Run.of(reduced, best, watch.seconds)
    except OutOfTime:
        return Run.of(reduced, best, watch.seconds)
    return Run.of(reduced, best, watch.seconds, proved=True)


def _solutions(reduced: Reduced, watch: Stopwatch) -> Iterator[Choice]:
    from constraint import BacktrackingSolver, Problem

    problem: Any = Problem(BacktrackingSolver(forwardcheck=False))

    def post(holds: Callable[..., bool], names: Sequence[Variable]) -> None:
        problem.addConstraint(lambda *values: watch.check() and holds(*values), names)

    for name, values in reduced.domains.items():
        problem.addVariable(name, list(values))
    for (a, b), pairs in reduced.moves.items():
        if a == b:  # a phrase that repeats at once moves from a note to itself
            post(lambda pitch, pairs=pairs: (pitch, pitch) in pairs, (a,))
        else:
            post(lambda one, other, pairs=pairs: (one, other) in pairs, (a, b))
    for pair in reduced.above:
        post(gt, pair)
    for pc, names in reduced.sounding:
        post(lambda *values, pc=pc: pc in classes(values), names)
    for group in reduced.own:
        number = len(group.own)
        post(
            lambda *values, number=number: bool(classes(values[:number]) - classes(values[number:])),
            (*group.own, *group.others),
        )
    for least, most, names in reduced.few:
        post(lambda *values, least=least, most=most: least <= len(set(values)) <= most, names)
    return problem.getSolutionIter()
