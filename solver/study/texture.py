"""What sounds at a part's strokes, in the words of a brief."""

from __future__ import annotations

from solver.study.loop import LoopPart

SINGLE, DYADS, CHORDS = "single", "dyads", "chords"
MOSTLY = 0.6  # share of strokes that decides


def texture_of(part: LoopPart) -> str:
    """What sounds at most strokes: one note, two, or more."""
    sizes = [len(stroke) for stroke in part.strokes]
    if sum(size >= 3 for size in sizes) >= MOSTLY * len(sizes):
        return CHORDS
    if sum(size >= 2 for size in sizes) >= MOSTLY * len(sizes):
        return DYADS
    return SINGLE
