"""A mordent sits on a long note and touches the next note below in the scale once.

Long is a beat or more (common practice, no source). The neighbour is that of the
scale against which the note is judged; it lies within the part's range and in the scale of the chord that sounds.
"""

from __future__ import annotations

from solver.music.ornaments import MORDENT
from solver.rules.ornament_kinds import kind_rule

NAME = "a mordent has a long note and a step below it"

RULE = kind_rule(NAME, MORDENT, "the note is too short, or has no step below it in scale and range")
