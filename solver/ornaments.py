"""Ornaments under a plan: which notes a part's note is played as, and when the added ones sound.

Rules, playing and the reader of MIDI files all take it from here. Times are in slots.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.music.ornaments import MORDENT, RUN, RUN_NOTES, TRILL, between, neighbour, quick_step

LONGEST_TRILL = 2  # beats; the rest of the note is held
FEWEST_TURNS = 2  # times that a trill goes to its neighbour
LAST = 2  # quick steps that a note is held at least before a run or after a mordent


@dataclass(frozen=True)
class Piece:
    """One of the notes that an ornamented note is played as: slots after its onset, and its MIDI pitch."""

    after: float
    pitch: int
    added: bool  # a neighbour, or a note of a run


def beat_slots(plan: Plan) -> int:
    """Slots of a counted beat (a dotted one in 6/8)."""
    return plan.metre.grid // len(plan.metre.beats)


def step_slots(plan: Plan) -> float:
    """How long a quick note lasts at the plan's tempo, in slots."""
    return quick_step(60 / plan.tempo * float(plan.metre.quarters_per_bar) / plan.metre.grid)


def with_following(plan: Plan, notes: Sequence[Note]) -> Iterator[tuple[Note, Note]]:
    """Each note of a line with the one after it; after the last comes the first, a loop later."""
    if notes:
        again = replace(notes[0], onset=notes[0].onset + plan.slots)
        yield from zip(notes, [*notes[1:], again], strict=True)


def shape(plan: Plan, part: PartPlan, note: Note, kind: str, following: Note) -> tuple[Piece, ...]:
    """What a note is played as with an ornament; empty where the note is too short or has not the notes beside it.

    Neighbours are those of the scale against which the note is judged: in a repeat, the first statement's.
    """
    if note.length < beat_slots(plan):
        return ()
    scale = plan.span_at(plan.home_slot(part, note.onset)).scale
    step = step_slots(plan)
    if kind == RUN:
        return _run(note, following, scale, step)
    other = neighbour(note.pitch, scale, 1 if kind == TRILL else -1)
    turns = _turns(plan, note, step) if kind == TRILL else 1
    if other is None or (2 * turns + LAST) * step > note.length:
        return ()
    pitches = [note.pitch, *(pitch for _ in range(turns) for pitch in (other, note.pitch))]
    return tuple(Piece(index * step, pitch, index % 2 == 1) for index, pitch in enumerate(pitches))


def _turns(plan: Plan, note: Note, step: float) -> int:
    """How often a trill goes to its neighbour and back."""
    time = min(note.length, LONGEST_TRILL * beat_slots(plan))
    return max(int((time / step - LAST) // 2), FEWEST_TURNS)


def _run(note: Note, following: Note, scale: frozenset[int], step: float) -> tuple[Piece, ...]:
    added = between(note.pitch, following.pitch, scale)
    fewest, most = RUN_NOTES
    room = (len(added) + LAST) * step <= note.length
    if note.end != following.onset or not fewest <= len(added) <= most or not room:
        return ()
    first = note.length - len(added) * step
    return (
        Piece(0.0, note.pitch, False),
        *(Piece(first + index * step, pitch, True) for index, pitch in enumerate(added)),
    )


def kind_of(pitches: Sequence[int]) -> str:
    """The ornament that goes from the first of these pitches to the second and back."""
    return TRILL if pitches[1] > pitches[0] else MORDENT


def added_pitches(pieces: Sequence[Piece]) -> tuple[int, ...]:
    """The different pitches that an ornament adds, from low to high."""
    return tuple(sorted({piece.pitch for piece in pieces if piece.added}))


def added_between(note: Note, pieces: Sequence[Piece]) -> tuple[float, float]:
    """From when to when added notes sound, in slots from the loop's start."""
    times = [piece.after for piece in pieces]
    ends = [*times[1:], float(note.length)]
    added = [index for index, piece in enumerate(pieces) if piece.added]
    return note.onset + times[added[0]], note.onset + ends[added[-1]]


def decorated(plan: Plan, part: PartPlan, notes: Sequence[Note]) -> Iterator[tuple[Note, tuple[Piece, ...]]]:
    """The notes of a part that carry an ornament, each with what it is played as (empty where that cannot be)."""
    for note, following in with_following(plan, notes):
        if note.ornament is not None:
            yield note, shape(plan, part, note, note.ornament, following)


def astray(plan: Plan, part: PartPlan, note: Note, pieces: Sequence[Piece]) -> int | None:
    """An added pitch that leaves the part's range, or the scale of the chord that sounds; None where all stay."""
    scale = plan.span_at(note.onset).scale
    for pitch in added_pitches(pieces):
        if not part.low <= pitch <= part.high or pitch % 12 not in scale:
            return pitch
    return None
