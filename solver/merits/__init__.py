"""One merit a file. ``every_merit`` lists them in the order of the merit card."""

from __future__ import annotations

from solver.merits import (
    bass_walks,
    blend,
    chords_spelled,
    contrary_motion,
    few_pitches,
    gaps_filled,
    halves_alike,
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

MODULES = (
    small_moves,
    leaps_turn_back,
    few_pitches,
    chords_spelled,
    motif_returns,
    halves_alike,
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


def every_merit() -> tuple[Merit, ...]:
    """All merits: the lead, the low part, the parts together, the rhythm."""
    return tuple(module.MERIT for module in MODULES)


def short_names() -> dict[str, str]:
    """The merits' names by their short ones, the names of their files: ``contrary_motion``."""
    return {module.__name__.rpartition(".")[2]: module.MERIT.name for module in MODULES}
