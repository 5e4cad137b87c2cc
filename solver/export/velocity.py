"""How hard each note is struck: by metrical weight, role and place in the chord. Shared by MIDI and sound.

Velocities are 1 to 127. Weights are those of Longuet-Higgins and Lee (1984), carried on above the bar: of two, four
or eight bars the first is the strongest. The differences are small, so that a line stays even.
"""

from __future__ import annotations

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan

# Velocity on the loop's strongest slot (common practice, no source: melody in front, filling parts behind it).
FULL = {"lead": 100, "counter": 94, "low": 96, "chords": 84, "background": 78}
DEFAULT_FULL = 90
PER_LEVEL = 4  # less for each level of the metrical tree
LOWEST_LEVEL = 4  # weaker slots are as loud as this one
PER_BAR_LEVEL = 2  # less for each level of bars below the strongest bar of eight
BARS_LEVELS = 3
INNER = 5  # less for the notes inside a struck chord, so that its outer notes lead


def velocities(plan: Plan, arrangement: Arrangement) -> dict[Note, int]:
    """The velocity of every note of the parts of the plan."""
    found: dict[Note, int] = {}
    for part in plan.parts:
        full = FULL.get(part.role, DEFAULT_FULL)
        for stroke in arrangement.strokes(part.name):
            struck = full - _weakness(plan, stroke[0].onset)
            for index, note in enumerate(stroke):
                inner = 0 < index < len(stroke) - 1
                found[note] = struck - (INNER if inner else 0)
    return found


def _weakness(plan: Plan, slot: int) -> int:
    """What a note in this slot is softer by than one at the loop's start."""
    bar = plan.bar_of(slot)
    bar_level = next((level for level in range(BARS_LEVELS) if bar % (8 >> level) == 0), BARS_LEVELS)
    return PER_LEVEL * min(plan.metre.level(slot), LOWEST_LEVEL) + PER_BAR_LEVEL * bar_level
