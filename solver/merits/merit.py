"""What a merit is: a whole number that says how much of a good thing an arrangement has, counted twice.

``measure`` counts it on finished notes; ``reward`` is the same number as a linear expression of the pitch model, or
None where it depends on the rhythm alone (stage 1 counts it by ``measure_rhythm`` and ``best_rhythm`` then). ``best``
is the most that its definition allows for a rhythm. Points run from 0, what random lines in the same slots reach, to
100, the best.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from solver.brief.plan import Plan
from solver.heard import Heard

if TYPE_CHECKING:
    from solver.search.model import PitchModel

Onsets = tuple[int, ...]


@dataclass
class Reward:
    """A linear expression: whole coefficients on literals or integer variables, and a constant."""

    terms: list[tuple[int, Any]] = field(default_factory=list)
    constant: int = 0

    def add(self, coefficient: int, variable: Any) -> None:
        """Add a term."""
        if coefficient:
            self.terms.append((coefficient, variable))


@dataclass(frozen=True)
class Merit:
    """One merit. ``measure`` and ``best`` share a unit, which each merit's file names."""

    name: str
    applies: Callable[[Plan], bool]
    measure: Callable[[Heard], int]
    best: Callable[[Heard], int]
    sentence: Callable[[Heard], str]
    reward: Callable[[PitchModel], Reward] | None = None
    measure_rhythm: Callable[[Plan, Mapping[str, Onsets]], int] | None = None
    best_rhythm: Callable[[Plan, Mapping[str, Onsets]], int] | None = None
    adds_up: bool = False  # whether its count and its best are the sums of what the parts have alone

    @property
    def is_rhythmic(self) -> bool:
        """Whether the rhythm alone decides it."""
        return self.reward is None
