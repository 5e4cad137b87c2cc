"""Ornaments: short notes that decorate a long one. Which there are, which notes they add, how fast they are played.

A trill goes to and fro between a note and its upper neighbour in the scale, a mordent touches the lower one once, a
run fills the way from a note to the next one with the scale's notes between them, just before that next note. The
names and their shapes are those of any textbook of notation.
"""

from __future__ import annotations

TRILL, MORDENT, RUN = "trill", "mordent", "run"
KINDS = (TRILL, MORDENT, RUN)
NONE, FEW, MANY = "none", "few", "many"
LARGEST_NEIGHBOUR = 2  # semitones: an augmented second is too wide for a finger's quick step
RUN_NOTES = (2, 4)  # fewest and most notes that a run adds
# Seconds of the notes that are added (common practice, no source: some 8 to 20 a second).
QUICKEST, SLOWEST = 0.045, 0.125


def neighbour(pitch: int, scale: frozenset[int], way: int) -> int | None:
    """The scale's next note above (``way`` 1) or below (-1) a MIDI pitch; None where it is no semitone or whole tone.

    ``scale`` holds pitch classes.
    """
    steps = (pitch + way * semitones for semitones in range(1, LARGEST_NEIGHBOUR + 1))
    return next((step for step in steps if step % 12 in scale), None)


def between(a: int, b: int, scale: frozenset[int]) -> tuple[int, ...]:
    """The scale's notes between two MIDI pitches, in order from a to b, both left out."""
    way = 1 if b > a else -1
    return tuple(pitch for pitch in range(a + way, b, way) if pitch % 12 in scale)


def quick_step(slot: float) -> float:
    """How long an added note lasts, in slots of ``slot`` seconds.

    The half of a slot, or where that is too slow for an ornament a half of it again and so on; where it is too quick,
    one and a half, two and a half, … slots. So the first note that is added always stands off the grid, or sooner
    after the note before it than any written note does, and is told from written notes by that alone.
    """
    step = 0.5
    while step * slot > SLOWEST:
        step /= 2
    while step * slot < QUICKEST:
        step += 1
    return step
