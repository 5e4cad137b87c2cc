"""A run fills the way from a long note into the next one with the scale's notes between them.

Long is a beat or more; two to four notes are added, each a step from the one before, and the note sounds up to the
next (common practice, no source). The notes are those of the scale against which the long note is judged; they lie in
the scale of the chord that sounds.
"""

from __future__ import annotations

from itertools import pairwise

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.music.ornaments import RUN
from solver.music.scales import is_step
from solver.ornaments import Piece
from solver.rules.ornament_kinds import kind_rule

NAME = "a run goes by step into the next note"


def goes_by_step(plan: Plan, part: PartPlan, note: Note, pieces: tuple[Piece, ...], following: Note) -> bool:
    """Whether the run's notes lead by steps of the scale into the note that follows."""
    way = [*(piece.pitch for piece in pieces), following.pitch]
    scale = plan.span_at(plan.home_slot(part, note.onset)).scale
    return all(is_step(a, b, scale) for a, b in pairwise(way))


RULE = kind_rule(NAME, RUN, "the note is too short, or has no two to four steps to the next", goes_by_step)
