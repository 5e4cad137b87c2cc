"""No move is larger than the part's largest leap, the way from the last note back to the first included."""

from __future__ import annotations

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Rule
from solver.search.state import State

NAME = "no leap too large"


def allows_move(plan: Plan, part: PartPlan, slot_a: int, a: State, slot_b: int, b: State) -> bool:
    """Whether the top notes are within the part's largest leap."""
    return abs(a.top - b.top) <= part.max_leap


def breaches(heard: Heard) -> list[Breach]:
    """Moves beyond the largest leap."""
    return [
        Breach(
            NAME,
            part.name,
            b.onset,
            f"{note_name(a.top)} to {note_name(b.top)} is {abs(a.top - b.top)} semitones, more than {part.max_leap}",
        )
        for part in heard.plan.parts
        for a, b in heard.moves(part)
        if abs(a.top - b.top) > part.max_leap
    ]


RULE = Rule(NAME, breaches, allows_move=allows_move)
