"""Swing as a warp of time: within each pair the first half lasts longer and the second shorter, evenly inside each.

Times are in slots from the loop's start. The warp moves no beginning of a pair, so bars keep their length.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.brief.feel import Feel
from solver.music.metre import Metre


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
    return Swing(float(feel.pair * metre.grid / metre.quarters_per_bar), feel.swing / (1 + feel.swing))
