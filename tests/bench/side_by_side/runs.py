"""What a solver made of the reduced problem, in CPU seconds."""

from __future__ import annotations

import time
from dataclasses import dataclass

from tests.bench.side_by_side.problem import Choice, Reduced


class OutOfTime(Exception):
    """The solver has used up its CPU seconds."""


@dataclass(frozen=True)
class Run:
    """The best total that was found (None: no solution), CPU seconds, and whether nothing better exists."""

    total: int | None
    seconds: float
    proved: bool

    @classmethod
    def of(cls, reduced: Reduced, choice: Choice | None, seconds: float, *, proved: bool = False) -> Run:
        """A run that ended with a choice. Raises ValueError where it breaks a rule."""
        if choice is not None and not reduced.holds(choice):
            raise ValueError("a solver broke a rule of the reduced problem")
        return cls(None if choice is None else reduced.total(choice), seconds, proved)


class Stopwatch:
    """CPU seconds of this process since it was made."""

    def __init__(self, limit: float) -> None:
        self._began = time.process_time()
        self._limit = limit

    @property
    def seconds(self) -> float:
        """CPU seconds so far."""
        return time.process_time() - self._began

    @property
    def is_over(self) -> bool:
        """Whether the limit is reached."""
        return self.seconds >= self._limit

    def check(self) -> bool:
        """True. Raises OutOfTime where the limit is reached."""
        if self.is_over:
            raise OutOfTime
        return True
