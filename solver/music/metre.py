"""Metre: the grid of slots a bar, its beats and their weights.

Times count in slots; a bar has ``grid`` of them. A quarter note is 480 ticks, as in the MIDI files.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from solver.music.faults import Fault, quoted

TICKS_PER_QUARTER = 480
SHORTEST_SLOT = 20  # ticks: a triplet of sixty-fourths; anything finer is a slip of the pen
# Metres and their default grids: the sixteenths in a bar.
DEFAULT_GRIDS: dict[tuple[int, int], int] = {
    (2, 4): 8,
    (3, 4): 12,
    (4, 4): 16,
    (5, 4): 20,
    (6, 8): 12,
    (7, 8): 14,
    (12, 8): 24,
}
COMPOUND = frozenset({(6, 8), (12, 8)})  # counted in dotted beats of three eighths
_METRE = re.compile(r"\s*([0-9]{1,3})\s*/\s*([0-9]{1,3})\s*")


@dataclass(frozen=True)
class Metre:
    """A time signature with a grid of slots a bar."""

    numerator: int
    denominator: int
    grid: int

    @property
    def name(self) -> str:
        """The time signature: ``"6/8"``."""
        return f"{self.numerator}/{self.denominator}"

    @property
    def quarters_per_bar(self) -> Fraction:
        """Length of a bar in quarter notes."""
        return Fraction(4 * self.numerator, self.denominator)

    @property
    def ticks_per_slot(self) -> int:
        """Length of a slot in ticks, 480 to the quarter."""
        return int(self.quarters_per_bar * TICKS_PER_QUARTER / self.grid)

    @property
    def slots_per_beat(self) -> int:
        """Slots in a note of the denominator's value (an eighth in 6/8)."""
        return self.grid // self.numerator

    @property
    def is_compound(self) -> bool:
        """Whether the metre is counted in dotted beats (6/8, 12/8)."""
        return (self.numerator, self.denominator) in COMPOUND

    @cached_property
    def beats(self) -> frozenset[int]:
        """Slots within a bar where a counted beat starts; the dotted beats in 6/8 and 12/8."""
        beat = self.slots_per_beat * (3 if self.is_compound else 1)
        return frozenset(range(0, self.grid, beat))

    @cached_property
    def strong(self) -> frozenset[int]:
        """Strong slots within a bar: its start, mid-bar in 4/4, the dotted beats in 6/8 and 12/8."""
        if self.is_compound:
            return self.beats
        if (self.numerator, self.denominator) == (4, 4):
            return frozenset({0, self.grid // 2})
        return frozenset({0})

    @cached_property
    def weights(self) -> tuple[int, ...]:
        """Metrical weight of each slot of a bar: 0 at its start, one less for each level of division below.

        Longuet-Higgins and Lee 1984, Music Perception 1(4): the bar is divided into the numerator's prime factors
        (the smaller first), then each beat into halves, then thirds; the slots that a division adds weigh one less.
        """
        weights = [0] * self.grid
        span = self.grid
        for level, factor in enumerate((*_primes(self.numerator), *_primes(self.slots_per_beat)), start=1):
            part = span // factor
            for slot in range(0, self.grid, part):
                if slot % span:
                    weights[slot] = -level
            span = part
        return tuple(weights)

    def bar_and_beat(self, slot: int) -> tuple[int, float]:
        """Bar (from 1) and beat (from 1.0, in the denominator's notes) of a slot of the loop."""
        bar, within = divmod(slot, self.grid)
        return bar + 1, 1 + within / self.slots_per_beat

    def level(self, slot: int) -> int:
        """How weak a slot is: 0 at a bar's start, growing with each level of division."""
        return -self.weights[slot % self.grid]


def parse_metre(text: str, grid: int | None = None) -> Metre:
    """Read a metre such as ``"6/8"`` with a grid of slots a bar (by default its sixteenths). Raises Fault."""
    match = _METRE.fullmatch(text)
    known = ", ".join(f"{numerator}/{denominator}" for numerator, denominator in DEFAULT_GRIDS)
    if match is None:
        raise Fault(f"{quoted(text)} is not a metre", f'write one of {known}, like "4/4"')
    numerator, denominator = int(match[1]), int(match[2])
    if (numerator, denominator) not in DEFAULT_GRIDS:
        raise Fault(f"the metre {numerator}/{denominator} is not known here", f"use one of {known}")
    metre = Metre(numerator, denominator, DEFAULT_GRIDS[numerator, denominator])
    if grid is None:
        return metre
    allowed = _grids(metre)
    if grid not in allowed:
        choices = ", ".join(map(str, allowed))
        raise Fault(
            f"{grid} slots do not divide a bar of {metre.name} into whole ticks on its beats", f"use one of {choices}"
        )
    return Metre(numerator, denominator, grid)


def longuet_higgins_lee(onsets: Sequence[int], metre: Metre, bars: int = 1) -> int:
    """Syncopation of a rhythm after Longuet-Higgins and Lee 1984 (Music Perception 1(4) 424-441).

    ``onsets`` are slots; the pattern repeats after ``bars`` bars. Each note adds what the strongest slot it is held
    or silent over outweighs its own, if it does: one value a note, 0 where nothing is syncopated.
    """
    length = bars * metre.grid
    starts = sorted({onset % length for onset in onsets})
    total = 0
    for index, start in enumerate(starts):
        gap = (starts[(index + 1) % len(starts)] - start - 1) % length + 1
        over = [metre.weights[slot % metre.grid] for slot in range(start + 1, start + gap)]
        total += max(0, max(over, default=metre.weights[start % metre.grid]) - metre.weights[start % metre.grid])
    return total


def _grids(metre: Metre) -> list[int]:
    """Grids that put every beat on a slot, with whole ticks a slot."""
    ticks = int(metre.quarters_per_bar * TICKS_PER_QUARTER)
    most = ticks // SHORTEST_SLOT
    return [grid for grid in range(metre.numerator, most + 1, metre.numerator) if ticks % grid == 0]


def _primes(number: int) -> list[int]:
    """Prime factors, the smaller first."""
    factors, divisor = [], 2
    while number > 1:
        while number % divisor == 0:
            factors.append(divisor)
            number //= divisor
        divisor += 1
    return factors
