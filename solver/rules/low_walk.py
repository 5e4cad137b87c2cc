"""The low part moves by scale step, or leaps at most an octave between chord tones."""

from __future__ import annotations

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard, judging_chord
from solver.music.pitch import note_name
from solver.rules.passing_notes import moves_by_step
from solver.rules.rule import Breach, Rule
from solver.search.state import State

NAME = "the low part steps, or leaps between chord tones"
OCTAVE = 12


def is_allowed(plan: Plan, part: PartPlan, slot_a: int, a: int, slot_b: int, b: int) -> bool:
    """Whether a low line may go from pitch a to pitch b."""
    if a == b or moves_by_step(plan, part, slot_a, a, slot_b, b):
        return True
    inside = all(pitch % 12 in judging_chord(plan, part, slot).pcs for slot, pitch in ((slot_a, a), (slot_b, b)))
    return inside and abs(a - b) <= OCTAVE


def allows_move(plan: Plan, part: PartPlan, slot_a: int, a: State, slot_b: int, b: State) -> bool:
    """The same for states."""
    return part.role != "low" or not part.is_line or is_allowed(plan, part, slot_a, a.top, slot_b, b.top)


def breaches(heard: Heard) -> list[Breach]:
    """Leaps of a low line that are too large or touch a note outside the chord."""
    return [
        Breach(
            NAME,
            part.name,
            b.onset,
            f"{note_name(a.top)} to {note_name(b.top)} is neither a step nor a leap between chord tones",
        )
        for part in heard.plan.with_role("low")
        if part.is_line
        for a, b in heard.moves(part)
        if not is_allowed(heard.plan, part, a.onset, a.top, b.onset, b.top)
    ]


RULE = Rule(NAME, breaches, allows_move=allows_move)
