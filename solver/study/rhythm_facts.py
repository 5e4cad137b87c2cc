"""A part's rhythm: notes a bar, its cell, its syncopation, its held notes."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from solver.music.metre import longuet_higgins_lee
from solver.study.form import rhythm_repeats
from solver.study.loop import Loop, LoopPart

HELD = 1.5  # quarters from which a note counts as held
STRUCK, SILENT = "x", "."


@dataclass(frozen=True)
class RhythmFacts:
    """``per_bar`` is the fewest and the most strokes in bars that have any, ``silent_bars`` counts the others.

    ``cell`` is the bar's rhythm that occurs most often, a sign a slot, and ``cell_bars`` the bars (from 0) that have
    it. ``repeats`` is the bars after which all onsets come again, None where they do not. ``syncopation`` is that of
    Longuet-Higgins and Lee (1984), a bar on average. ``held`` are onsets of notes of one and a half quarters or more.
    """

    per_bar: tuple[int, int]
    silent_bars: int
    density: float
    cell: str
    cell_bars: tuple[int, ...]
    repeats: int | None
    syncopation: float
    held: tuple[int, ...]


def rhythm_of(loop: Loop, part: LoopPart) -> RhythmFacts:
    """The rhythm of one part."""
    grid = loop.metre.grid
    bars: list[tuple[int, ...]] = [() for _ in range(loop.bars)]
    for onset, _ in part.tops:
        bars[onset // grid] += (onset % grid,)
    counts = [len(bar) for bar in bars if bar]
    cell = max(Counter(bar for bar in bars if bar).items(), key=lambda item: (item[1], -bars.index(item[0])))[0]
    onsets = [onset for onset, _ in part.tops]
    long = [stroke[0].onset for stroke in part.strokes if stroke[-1].length * loop.quarters_per_slot >= HELD]
    return RhythmFacts(
        per_bar=(min(counts), max(counts)),
        silent_bars=sum(not bar for bar in bars),
        density=density_of(loop, part),
        cell="".join(STRUCK if slot in cell else SILENT for slot in range(grid)),
        cell_bars=tuple(index for index, bar in enumerate(bars) if bar == cell),
        repeats=rhythm_repeats(loop, part),
        syncopation=longuet_higgins_lee(onsets, loop.metre, loop.bars) / loop.bars,
        held=tuple(long),
    )


def density_of(loop: Loop, part: LoopPart) -> float:
    """Strokes in four quarters, over the bars that have any."""
    bars = {onset // loop.metre.grid for onset, _ in part.tops}
    return len(part.tops) / (len(bars) * float(loop.metre.quarters_per_bar) / 4)
