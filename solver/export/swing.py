"""Swing as a warp of time: within each pair the first half lasts longer and the second shorter, evenly inside each.

Times are in slots from the loop's start. The warp moves no beginning of a pair, so bars keep their length.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from solver.brief.feel import LARGEST_SWING, PAIRS, Feel
from solver.music.metre import Metre

_TEXT = re.compile(r"swing ([0-9]{1,2}(?:\.[0-9]{1,20})?) on (8ths|16ths)")


@dataclass(frozen=True)
class Swing:
    """A pair of ``pair`` slots whose first half takes the share ``long`` of it; 0.5 is even."""

    pair: float
    long: float

    def swung(self, even: float) -> float:
        """When something sounds that stands at ``even``."""
        start, within = self._place(even)
        half = self.pair / 2
        if within < half:
            return start + within * 2 * self.long
        return start + self.pair * self.long + (within - half) * 2 * (1 - self.long)

    def even(self, swung: float) -> float:
        """Where something stands that sounds at ``swung``."""
        start, within = self._place(swung)
        first = self.pair * self.long
        if within < first:
            return start + within / (2 * self.long)
        return start + self.pair / 2 + (within - first) / (2 * (1 - self.long))

    def _place(self, time: float) -> tuple[float, float]:
        pairs = time // self.pair
        return pairs * self.pair, time - pairs * self.pair


def swing_of(feel: Feel, metre: Metre) -> Swing:
    """The warp of a feel on a metre's grid."""
    return _swing(feel.swing, feel.pair, metre)


def swing_text(feel: Feel) -> str:
    """What a file that swings says of it: by their times alone, eighths swung 3 to 1 could be even sixteenths."""
    name = next(name for name, pair in PAIRS.items() if pair == feel.pair)
    return f"swing {feel.swing!r} on {name}"


def swing_from_text(text: str, metre: Metre) -> Swing | None:
    """The warp that such a text tells of; None where it tells of none."""
    match = _TEXT.fullmatch(text.strip())
    ratio = float(match[1]) if match else 0.0
    return _swing(ratio, PAIRS[match[2]], metre) if match and 1 <= ratio <= LARGEST_SWING else None


def _swing(ratio: float, pair: Fraction, metre: Metre) -> Swing:
    return Swing(float(pair * metre.grid / metre.quarters_per_bar), ratio / (1 + ratio))
