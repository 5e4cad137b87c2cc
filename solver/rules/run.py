"""A run fills the way from a long note into the next one with the scale's notes between them.

Long is a beat or more; two to four notes are added, each a step from the one before, and the note sounds up to the
next (common practice, no source). The notes are those of the scale against which the long note is judged; they lie in
the scale of the chord that sounds.
"""

from __future__ import annotations

from itertools import pairwise

from solver.arrangement import Note
from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.music.ornaments import RUN
from solver.music.scales import is_step
from solver.ornaments import astray, shape, with_following
from solver.rules.rule import Breach, Rule

NAME = "a run goes by step into the next note"


def allows_ornament(heard: Heard, part: PartPlan, note: Note, following: Note, kind: str) -> bool:
    """Whether a note may run into the one that follows it."""
    if kind != RUN:
        return True
    plan = heard.plan
    pieces = shape(plan, part, note, kind, following)
    way = [*(piece.pitch for piece in pieces), following.pitch]
    scale = plan.span_at(plan.home_slot(part, note.onset)).scale
    steps = all(is_step(a, b, scale) for a, b in pairwise(way))
    return bool(pieces) and steps and astray(plan, part, note, pieces) is None


def breaches(heard: Heard) -> list[Breach]:
    """Runs from short notes, and runs that have no two to four steps to go."""
    plan = heard.plan
    return [
        Breach(NAME, part.name, note.onset, "the note is too short, or has no two to four steps to the next")
        for part in plan.parts
        for note, following in with_following(plan, heard.arrangement.part(part.name))
        if note.ornament == RUN and not allows_ornament(heard, part, note, following, RUN)
    ]


RULE = Rule(NAME, breaches, allows_ornament=allows_ornament)
