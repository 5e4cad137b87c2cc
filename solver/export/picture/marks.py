"""What the picture says about single notes: outside the chord, and varied in the last statement."""

from __future__ import annotations

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan


def outside_notes(plan: Plan, arrangement: Arrangement) -> frozenset[Note]:
    """The notes that are none of the tones of the chord in which they start."""
    return frozenset(note for note in arrangement.notes if note.pitch % 12 not in plan.span_at(note.onset).chord.pcs)


def varied_notes(plan: Plan, arrangement: Arrangement) -> frozenset[Note]:
    """The notes of repeating parts' last statements that the first statement does not have in the same place."""
    varied: set[Note] = set()
    for part in plan.parts:
        if part.repeat_every is None:
            continue
        statement = part.repeat_every * plan.metre.grid
        notes = arrangement.part(part.name)
        first = {(note.onset, note.pitch) for note in notes if note.onset < statement}
        last = [note for note in notes if note.onset >= plan.slots - statement]
        varied |= {note for note in last if (plan.home_slot(part, note.onset), note.pitch) not in first}
    return frozenset(varied)
