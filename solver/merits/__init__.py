"""One merit a file. ``every_merit`` lists them in the order of the merit card."""

from __future__ import annotations

from solver.merits import (
    bass_walks,
    blend,
    chords_spelled,
    contrary_motion,
    few_pitches,
    gaps_filled,
    leaps_turn_back,
    low_intervals,
    motif_returns,
    seam,
    small_moves,
    smoothness,
    strong_harmony,
    syncopation,
)
from solver.merits.merit import Merit


def every_merit() -> tuple[Merit, ...]:
    """All merits: the lead, the low part, the parts together, the rhythm."""
    modules = (
        small_moves,
        leaps_turn_back,
        few_pitches,
        chords_spelled,
        motif_returns,
        bass_walks,
        contrary_motion,
        strong_harmony,
        smoothness,
        low_intervals,
        blend,
        gaps_filled,
        syncopation,
        seam,
    )
    return tuple(module.MERIT for module in modules)
