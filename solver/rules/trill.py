"""A trill sits on a long note and goes to the next note above in the scale.

Long is a beat or more, with time for two turns at least (common practice, no source). The neighbour is that of the
scale against which the note is judged; it lies within the part's range and in the scale of the chord that sounds.
"""

from __future__ import annotations

from solver.arrangement import Note
from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.music.ornaments import TRILL
from solver.ornaments import astray, shape, with_following
from solver.rules.rule import Breach, Rule

NAME = "a trill has a long note and a step above it"


def allows_ornament(heard: Heard, part: PartPlan, note: Note, following: Note, kind: str) -> bool:
    """Whether a note may be trilled."""
    if kind != TRILL:
        return True
    plan = heard.plan
    pieces = shape(plan, part, note, kind, following)
    return bool(pieces) and astray(plan, part, note, pieces) is None


def breaches(heard: Heard) -> list[Breach]:
    """Trills on short notes, and trills without a neighbour above."""
    plan = heard.plan
    return [
        Breach(NAME, part.name, note.onset, "the note is too short, or has no step above it in scale and range")
        for part in plan.parts
        for note, following in with_following(plan, heard.arrangement.part(part.name))
        if note.ornament == TRILL and not allows_ornament(heard, part, note, following, TRILL)
    ]


RULE = Rule(NAME, breaches, allows_ornament=allows_ornament)
