"""The stretch of a reference that a brief is written for: at most 32 bars, and no more repeats than tell the form."""

from __future__ import annotations

from dataclasses import replace

from solver.study.form import strokes_of
from solver.study.loop import Loop, LoopPart

MOST_BARS = 32  # of a brief
ENOUGH = 8  # bars that an exact repeat is written out for
LONG = 16  # bars that are taken of a piece that is longer than a brief


def period_of(loop: Loop) -> int:
    """Bars after which every part comes again exactly; all bars where nothing does."""
    parts = [strokes_of(part) for part in loop.parts]
    for bars in range(1, loop.bars):
        length = bars * loop.metre.grid
        if loop.bars % bars == 0 and all(
            strokes.get(onset % length) == pitches and len(strokes) * length == loop.slots * _within(strokes, length)
            for strokes in parts
            for onset, pitches in strokes.items()
        ):
            return bars
    return loop.bars


def excerpt_bars(loop: Loop, pass_bars: int) -> int:
    """Bars to write a brief for: the loop, exact repeats of it left out; of a long piece the first passes."""
    period = period_of(loop)
    if period < loop.bars:
        times = max(1, ENOUGH // period)
        while loop.bars % (period * times):
            times -= 1
        if period * times <= MOST_BARS:
            return period * times
    if loop.bars <= MOST_BARS:
        return loop.bars
    return pass_bars * max(1, LONG // pass_bars) if pass_bars <= MOST_BARS else LONG


def first_bars(loop: Loop, bars: int) -> Loop:
    """The loop's first bars; parts that are silent in them are left out."""
    if bars == loop.bars:
        return loop
    slots = bars * loop.metre.grid
    parts = []
    for part in loop.parts:
        inside = [note for note in part.notes if note.onset < slots]
        notes = tuple(replace(note, length=min(note.end, slots) - note.onset) for note in inside)
        if notes:
            parts.append(LoopPart(part.name, notes, part.program, part.given))
    return replace(loop, bars=bars, parts=tuple(parts))


def _within(strokes: dict[int, tuple[int, ...]], length: int) -> int:
    return sum(1 for onset in strokes if onset < length)
