"""Chroma laid on the bars of a loop: what they say for each chord, and how sure the chord of each bar is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.study.audio.bars import Bars
from solver.study.audio.chroma import WEIGHT, Chroma, cosines
from solver.study.chord_fit import candidates
from solver.study.evidence import Unit
from solver.study.loop import Loop
from solver.study.spelling import chord_of
from solver.study.study import Study

if TYPE_CHECKING:
    import numpy


@dataclass(frozen=True)
class BarChord:
    """What chroma say of one bar: from 0 to 1 how well the template of its chord fits them, the major or minor triad
    that fits them best, spelled in the key, and whether none fits better than its chord."""

    confidence: float
    by_chroma: str
    agrees: bool


@dataclass(frozen=True)
class LaidChroma:
    """Chroma laid on the slots of a loop."""

    chroma: Chroma
    bars: Bars
    loop: Loop

    def fits(self, units: tuple[Unit, ...]) -> numpy.ndarray:
        """What each chord loses in each unit against the one that fits its chroma best, in points of the study."""
        import numpy

        rows = []
        for unit in units:
            fit = self.cosines(unit)
            rows.append(WEIGHT * (unit.end - unit.start) * float(self.loop.quarters_per_slot) * (fit - fit.max()))
        return numpy.array(rows)

    def cosines(self, unit: Unit) -> numpy.ndarray:
        """How well each chord fits the chroma of a unit."""
        slot = self.bars.beat * len(self.loop.metre.beats) / self.loop.metre.grid
        first = self.bars.first
        return cosines(self.chroma.between(first + unit.start * slot, first + unit.end * slot))

    def bar_chords(self, study: Study) -> tuple[BarChord, ...]:
        """What chroma say of each bar."""
        grid = self.loop.metre.grid
        triads = [index for index, candidate in enumerate(candidates()) if candidate.quality in ("", "m")]
        found = []
        for bar, span in enumerate(study.bar_spans):
            fit = self.cosines(Unit(bar * grid, (bar + 1) * grid))
            best = max(triads, key=lambda index: fit[index])
            own = fit[candidates().index(span.chord)]
            symbol = chord_of(candidates()[best], study.key).symbol
            found.append(BarChord(round(float(own), 2), symbol, bool(own >= fit[best])))
        return tuple(found)
