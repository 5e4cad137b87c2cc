"""A conflict holds on every rhythm that was tried, by an oracle of its own."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from solver.search.conflicts.conflicts import Tried, first_conflict
from solver.search.conflicts.lines import Line
from solver.search.conflicts.oracle import Rhythm

RANGE, MOTION = Line("range", "low", "low: range"), Line("motion", "low", "low: motion")
ONE: Rhythm = {"low": (0,)}
TWO: Rhythm = {"low": (1,)}


class Fake:
    """On the first rhythm the range alone is too much, on the second only together with the motion."""

    plan: Any = SimpleNamespace(parts=())
    lines = (RANGE, MOTION)

    def __init__(self) -> None:
        self.rhythms = [ONE]

    def holds_on(self, kept: frozenset[Line], rhythm: Rhythm) -> bool:
        return not kept >= ({RANGE} if rhythm == ONE else {RANGE, MOTION})

    def feasible(self, kept: frozenset[Line]) -> bool:
        return any(self.holds_on(kept, rhythm) for rhythm in self.rhythms)

    def core(self, kept: frozenset[Line]) -> frozenset[Line]:
        return kept

    def also(self, rhythm: Rhythm) -> None:
        self.rhythms.insert(0, rhythm)


def test_lines_that_another_rhythm_suits_are_no_conflict_yet() -> None:
    oracle: Any = Fake()
    assert first_conflict(oracle, Tried((ONE, TWO), False)) == (RANGE, MOTION)
    assert first_conflict(Fake(), Tried((ONE,), False)) == (RANGE,)  # pyright: ignore[reportArgumentType]
