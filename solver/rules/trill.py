"""A trill sits on a long note and goes to the next note above in the scale.

Long is a beat or more, with time for two turns at least (common practice, no source). The neighbour is that of the
scale against which the note is judged; it lies within the part's range and in the scale of the chord that sounds.
"""

from __future__ import annotations

from solver.music.ornaments import TRILL
from solver.rules.ornament_kinds import kind_rule

NAME = "a trill has a long note and a step above it"

RULE = kind_rule(NAME, TRILL, "the note is too short, or has no step above it in scale and range")
