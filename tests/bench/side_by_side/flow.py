"""The reduced problem by this program's own way: what ``solve_skeleton`` does, with the reduced rules and merits."""

from __future__ import annotations

from collections.abc import Callable
from unittest.mock import patch

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton
from solver.search.scale import Scale
from solver.search.solve import Watch, solve_skeleton
from tests.bench.side_by_side.problem import Choice, Reduced, name_of, reduced_rules
from tests.bench.side_by_side.runs import Run, Stopwatch

DETERMINISTIC = 40.0  # seconds; the limit in CPU seconds comes first


def solve(plan: Plan, skeleton: Skeleton, reduced: Reduced, limit: float) -> tuple[Run, Run]:
    """The first solution and the best within ``limit`` CPU seconds; both times begin before the rules are asked."""
    stopwatch = Stopwatch(limit)
    firsts: list[Run] = []

    def found(total: int, scale: Scale, notes: Callable[[], Arrangement]) -> None:
        if not firsts:
            seconds = stopwatch.seconds
            firsts.append(Run.of(reduced, _choice(skeleton, notes()), seconds))

    watch = Watch(lambda: stopwatch.is_over)
    with patch("solver.search.model.every_rule", reduced_rules):
        solved = solve_skeleton(plan, skeleton, watch, limit=DETERMINISTIC, found=found)
    watch.close()
    choice = None if solved.arrangement is None else _choice(skeleton, solved.arrangement)
    best = Run.of(reduced, choice, stopwatch.seconds, proved=solved.proved)
    if best.total is not None and best.total != solved.total:
        raise ValueError("the reduced problem's total is not the program's own")
    return (firsts or [best])[0], best


def _choice(skeleton: Skeleton, arrangement: Arrangement) -> Choice:
    pitch = {(note.part, note.onset): note.pitch for note in arrangement.notes}
    return {
        name_of(part, slot.home): pitch[part, slot.onset] for part, slots in skeleton.slots.items() for slot in slots
    }
