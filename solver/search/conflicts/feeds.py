"""Which lines stand behind each rule: the rule holds for some parts as long as all of them do."""

from __future__ import annotations

from collections.abc import Iterable

from solver.rules import (
    background_sparse,
    bar_motion,
    broken_chord,
    chord_approach,
    clear_of_references,
    coverage,
    density,
    hand_position,
    held_shape,
    in_range,
    in_scale,
    low_root,
    low_walk,
    passing_notes,
    repeats,
    steps_figure,
    strong_beats,
    voicings,
)
from solver.search.conflicts.lines import GLOBAL, Key

INSTRUMENT = ("instrument", "tuning", "capo")
# A rule that is not listed comes from the roles of the parts that it binds.
KINDS: dict[str, tuple[str, ...]] = {
    density.NAME: ("notes_per_bar",),
    in_range.NAME: ("range",),
    in_scale.NAME: ("key", "chords"),
    voicings.NAME: ("texture", "chords", *INSTRUMENT),
    strong_beats.NAME: ("chords",),
    passing_notes.NAME: ("chords",),
    hand_position.NAME: INSTRUMENT,
    held_shape.NAME: ("figure", *INSTRUMENT),
    broken_chord.NAME: ("figure", "chords"),
    steps_figure.NAME: ("figure",),
    repeats.NAME: ("repeat_every", "vary_notes"),
    low_root.NAME: ("role", "chords"),
    low_walk.NAME: ("role", "chords"),
    chord_approach.NAME: ("role", "chords"),
    bar_motion.NAME: ("motion",),
    coverage.NAME: ("chords",),
    clear_of_references.NAME: ("avoid",),
    background_sparse.NAME: ("role",),
}


def feeds(rule: str, parts: Iterable[str], known: frozenset[Key]) -> frozenset[Key]:
    """The lines, of those that are ``known``, that a rule rests on where it binds ``parts``."""
    wanted: set[Key] = set()
    for kind in KINDS.get(rule, ("role",)):
        wanted |= {(kind, None)} if kind in GLOBAL else {(kind, part) for part in parts}
    return frozenset(wanted & known)
