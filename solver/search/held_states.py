"""The states of held notes, which exist even where a rule would refuse them, and what they leave to the others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from solver.brief.plan import PartPlan, Plan
from solver.held import Held
from solver.rhythm.held_notes import Stroke, held_of, strokes
from solver.rhythm.skeleton import NoteSlot
from solver.rules.rule import Rule
from solver.search.state import State
from solver.search.states import candidate_states


def held_states(plan: Plan, part: PartPlan, slot: int, held: Held, stroke: Stroke) -> tuple[State, ...]:
    """The states that sound a held stroke: its own string and fret where they are held, else every one there is."""
    pitches = tuple(note.pitch for note in stroke)
    if part.is_line and not part.rings:
        return (State(pitches),)
    places = tuple((note.string, note.fret) for note in stroke if note.string is not None and note.fret is not None)
    if held.aspect == "notes" and len(places) == len(stroke):
        return (State(pitches, places),)
    found = tuple(state for state in candidate_states(plan, part, slot) if state.pitches == pitches)
    if found or held.aspect != "notes":
        return found
    # No hand plays it so, and the rules will say that; still it has to stand somewhere on the neck.
    return (State(pitches, tuple(_somewhere(pitch, part) for pitch in pitches) if part.rings else None),)


def _somewhere(pitch: int, part: PartPlan) -> tuple[int, int]:
    """The string (1 is the highest) and fret that come nearest to a pitch, be the fret on the neck or not."""
    tuning = part.instrument.tuning
    number = max((n for n, open_string in enumerate(tuning) if open_string <= pitch), default=0)
    return len(tuning) - number, pitch - tuning[number]


def is_in_place(wanted: tuple[Held, Stroke], slots: Iterable[NoteSlot]) -> bool:
    """Whether a held stroke sounds where it did. Only then a rule that it breaks is its own fault: where pitches alone
    are held, another rhythm may suit them."""
    held, stroke = wanted
    return held.aspect == "notes" or any(slot.onset == stroke[0].onset for slot in slots)


def follows(
    plan: Plan, part: PartPlan, a: tuple[Held, Stroke], b: tuple[Held, Stroke], slot_a: int, slot_b: int
) -> bool:
    """Whether a held stroke comes right after another whatever is free: they are neighbours of one source, or all
    that lies between them is held."""
    if a[0] == b[0]:
        row = strokes(a[0])
        if (row.index(b[1]) - row.index(a[1])) == 1:
            return True
    fixed = {slot for held in held_of(plan, part) if held.aspect != "pitch" for slot in range(held.start, held.end)}
    between = range(slot_a + 1, slot_b if slot_b > slot_a else slot_b + plan.slots)
    return all(slot % plan.slots in fixed for slot in between)


def refusing_state(
    rules: Iterable[Rule], plan: Plan, part: PartPlan, slots: Iterable[int], states: tuple[State, ...]
) -> frozenset[str]:
    """The names of the rules that allow none of the states in one of the slots."""
    return frozenset(
        rule.name
        for rule in rules
        for slot in slots
        if rule.allows_state is not None and not any(rule.allows_state(plan, part, slot, state) for state in states)
    )


def refusing_move(
    rules: Iterable[Rule],
    plan: Plan,
    part: PartPlan,
    times: Iterable[tuple[int, int]],
    a: tuple[State, ...],
    b: tuple[State, ...],
) -> frozenset[str]:
    """The names of the rules that allow no move between the states at one of the times."""
    return frozenset(
        rule.name
        for rule in rules
        for slot_a, slot_b in times
        if rule.allows_move is not None
        and not any(rule.allows_move(plan, part, slot_a, one, slot_b, other) for one in a for other in b)
    )


def ringing_pitches(
    part: PartPlan, onsets: tuple[int, ...], wanted: Mapping[int, tuple[Held, Stroke]]
) -> dict[int, frozenset[int]]:
    """Pitches of held notes that ring at each onset, by onset: played again there, they would ring less long."""
    if not part.rings:
        return {}
    notes = [note for held, stroke in wanted.values() if held.aspect == "notes" for note in stroke]
    return {
        onset: frozenset(note.pitch for note in notes if note.onset < onset < note.end)
        for index, onset in enumerate(onsets)
        if index not in wanted
    }
