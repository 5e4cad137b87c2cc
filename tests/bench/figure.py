"""One line of the table of figures, and the median that stands in it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import median
from typing import TypeVar

from tests.bench.command import FERRY_LIGHTS, Run, run_arrange
from tests.bench.made import Take, takes

Measured = TypeVar("Measured")
TAKES = 200
OF_A_TAKE = 3


@dataclass(frozen=True)
class Figure:
    """A figure: what was measured, the value with its unit, what is aimed at, and how far the repetitions spread."""

    name: str
    value: str
    aim: str = ""
    spread: str = ""


def seconds(name: str, values: Sequence[float], aim: str = "") -> Figure:
    """The median of times in seconds, with the shortest and the longest."""
    spread = f"{min(values):.2f} to {max(values):.2f}" if len(values) > 1 else ""
    return Figure(name, f"{median(values):.2f} s", aim, spread)


@dataclass(frozen=True)
class Bench:
    """How often each figure is measured; several figures come from the same runs of the main command.

    ``seed`` decides what is drawn where briefs are drawn at random and no figure of theirs hangs on which they are.
    """

    repeat: int
    tell: Callable[[str], None] = lambda words: None
    seed: int = 1

    @cached_property
    def takes(self) -> tuple[Take, ...]:
        """Takes of briefs drawn at random, which the figures on dullness and on variety look at."""
        found = []
        for number, take in enumerate(takes(TAKES, OF_A_TAKE), start=1):
            if number % 10 == 0:
                self.tell(f"takes, {number} of {TAKES}")
            found.append(take)
        return tuple(found)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """The main command on ferry-lights, again and again."""
        return self.repeated("ferry-lights", lambda: run_arrange(FERRY_LIGHTS.read_text(encoding="utf-8")))

    def repeated(self, name: str, measure: Callable[[], Measured]) -> tuple[Measured, ...]:
        """What was measured each time."""
        found = []
        for number in range(1, self.repeat + 1):
            self.tell(f"{name}, {number} of {self.repeat}")
            found.append(measure())
        return tuple(found)
