"""From the states of a skeleton's slots to plain notes."""

from __future__ import annotations

from collections.abc import Mapping

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.rhythm.held_notes import wanted_strokes
from solver.rhythm.skeleton import Skeleton
from solver.search.state import State


def arrangement_from(plan: Plan, skeleton: Skeleton, states: Mapping[str, tuple[State, ...]]) -> Arrangement:
    """The arrangement of the chosen states; a broken chord's notes ring until their string is played again.

    Held notes come out as they are.
    """
    notes: list[Note] = []
    for part in plan.parts:
        slots = skeleton.slots[part.name]
        held = wanted_strokes(plan, part, skeleton.onsets[part.name]) if plan.held else {}
        for slot, state in zip(slots, states[part.name], strict=True):
            source, stroke = held.get(slot.index, (None, ()))
            if source is not None and source.aspect == "notes":
                notes.extend(stroke)
                continue
            length = slot.length
            if part.rings:
                again = (
                    later.onset
                    for later, played in zip(slots, states[part.name], strict=True)
                    if slot.onset < later.onset < slot.end and played.pitches == state.pitches
                )
                length = next(again, slot.end) - slot.onset
            places = state.places or ((None, None),) * len(state.pitches)
            notes.extend(
                Note(part.name, slot.onset, length, pitch, string, fret)
                for pitch, (string, fret) in zip(state.pitches, places, strict=True)
            )
    return Arrangement(tuple(notes))
