"""One hard rule a file. ``every_rule`` lists them in the order in which they are posted and reported."""

from __future__ import annotations

from solver.rules import (
    background_sparse,
    bar_motion,
    bass_returns,
    broken_chord,
    chord_approach,
    clear_of_references,
    counter_answers,
    coverage,
    density,
    hand_position,
    held_shape,
    in_range,
    in_scale,
    lead_life,
    lead_pitches,
    leaps,
    low_life,
    low_root,
    low_walk,
    one_at_a_time,
    own_pitch_class,
    passing_notes,
    register_order,
    repeats,
    steps_figure,
    strong_beats,
    voicings,
)
from solver.rules.rule import Rule


def every_rule() -> tuple[Rule, ...]:
    """All hard rules, those about single notes first."""
    modules = (
        density,
        in_range,
        in_scale,
        one_at_a_time,
        voicings,
        strong_beats,
        passing_notes,
        leaps,
        hand_position,
        held_shape,
        broken_chord,
        steps_figure,
        repeats,
        lead_pitches,
        lead_life,
        low_root,
        low_walk,
        chord_approach,
        bar_motion,
        bass_returns,
        low_life,
        own_pitch_class,
        background_sparse,
        counter_answers,
        coverage,
        register_order,
        clear_of_references,
    )
    return tuple(module.RULE for module in modules)
