"""How hard each note is struck: by metrical weight, role, phrase and place in the chord. Shared by MIDI and sound.

Velocities are 1 to 127. Weights are those of Longuet-Higgins and Lee (1984), carried on above the bar: of two, four
or eight bars the first is the strongest. A phrase swells to its middle and falls again (the phrase arch of Friberg
1995, Computer Music Journal 19(2), 49-55, from memory). The differences are small, so that a line stays even.
"""

from __future__ import annotations

import random

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID, Feel
from solver.brief.plan import PartPlan, Plan

# Velocity on the loop's strongest slot (common practice, no source: melody in front, filling parts behind it).
FULL = {"lead": 100, "counter": 94, "low": 96, "chords": 84, "background": 78}
DEFAULT_FULL = 90
PER_LEVEL = 4  # less for each level of the metrical tree
LOWEST_LEVEL = 4  # weaker slots are as loud as this one
PER_BAR_LEVEL = 2  # less for each level of bars below the strongest bar of eight
BARS_LEVELS = 3
INNER = 5  # less for the notes inside a struck chord, so that its outer notes lead
ARCH = 6  # from a phrase's ends to its middle
PHRASE_BARS = 4  # at most
SOFTEST, HARDEST = 20, 120


def velocities(plan: Plan, arrangement: Arrangement, feel: Feel = GRID) -> dict[Note, int]:
    """The velocity of every note of the parts of the plan. Equal input gives equal velocities; chance is seeded."""
    found: dict[Note, int] = {}
    for part in plan.parts:
        full = FULL.get(part.role, DEFAULT_FULL)
        for stroke in arrangement.strokes(part.name):
            onset = stroke[0].onset
            struck = full - feel.accent * _weakness(plan, onset) + feel.phrase * _swell(plan, part, onset)
            for index, note in enumerate(stroke):
                inner = INNER if 0 < index < len(stroke) - 1 else 0
                by_chance = feel.touch * chance(plan, part.name, "touch", onset, index)
                found[note] = min(max(round(struck - inner + by_chance), SOFTEST), HARDEST)
    return found


def chance(plan: Plan, *what: object) -> float:
    """A number from -1 to 1, most often near 0, that depends on the plan's seed and on what it is for, and no more."""
    dice = random.Random(" ".join(map(str, (plan.seed, *what))))
    return (dice.random() + dice.random() + dice.random()) / 1.5 - 1


def _weakness(plan: Plan, slot: int) -> int:
    """What a note in this slot is softer by than one at the loop's start."""
    bar = plan.bar_of(slot)
    bar_level = next((level for level in range(BARS_LEVELS) if bar % (8 >> level) == 0), BARS_LEVELS)
    return PER_LEVEL * min(plan.metre.level(slot), LOWEST_LEVEL) + PER_BAR_LEVEL * bar_level


def _swell(plan: Plan, part: PartPlan, slot: int) -> float:
    """What a note is struck harder by in the middle of its phrase: a statement, or four bars where that is shorter."""
    phrase = min(part.repeat_every or plan.bars, PHRASE_BARS) * plan.metre.grid
    at = slot % phrase / phrase
    return ARCH * (4 * at * (1 - at) - 0.5)
