"""A mordent sits on a long note and touches the next note below in the scale once.

Long is a beat or more (common practice, no source). The neighbour is that of the
scale against which the note is judged; it lies within the part's range and in the scale of the chord that sounds.
"""

from __future__ import annotations

from solver.arrangement import Note
from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.music.ornaments import MORDENT
from solver.ornaments import astray, shape, with_following
from solver.rules.rule import Breach, Rule

NAME = "a mordent has a long note and a step below it"


def allows_ornament(heard: Heard, part: PartPlan, note: Note, following: Note, kind: str) -> bool:
    """Whether a note may carry a mordent."""
    if kind != MORDENT:
        return True
    plan = heard.plan
    pieces = shape(plan, part, note, kind, following)
    return bool(pieces) and astray(plan, part, note, pieces) is None


def breaches(heard: Heard) -> list[Breach]:
    """Mordents on short notes, and mordents without a neighbour below."""
    plan = heard.plan
    return [
        Breach(NAME, part.name, note.onset, "the note is too short, or has no step below it in scale and range")
        for part in plan.parts
        for note, following in with_following(plan, heard.arrangement.part(part.name))
        if note.ornament == MORDENT and not allows_ornament(heard, part, note, following, MORDENT)
    ]


RULE = Rule(NAME, breaches, allows_ornament=allows_ornament)
