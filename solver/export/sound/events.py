"""What sounds when, in samples: the notes of a part with their strength, for strings and samples alike."""

from __future__ import annotations

from dataclasses import dataclass

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.export.velocity import velocities

STRUM = 0.007  # seconds from string to string of a struck chord of three notes or more, from the lowest up


@dataclass(frozen=True)
class Event:
    """One note: its first sample, how many samples it is held, MIDI pitch, and velocity (1 to 127)."""

    start: int
    held: int
    pitch: int
    velocity: int


def loop_samples(plan: Plan, rate: int) -> int:
    """The loop's length, rounded to whole samples: a loop of part of a sample would click at its seam."""
    return round(float(plan.bars * plan.metre.quarters_per_bar) * 60 / plan.tempo * rate)


def events_of(plan: Plan, arrangement: Arrangement, rate: int) -> dict[str, list[Event]]:
    """The notes of every part, each at its absolute place in the loop (nothing adds up to a drift)."""
    samples = loop_samples(plan, rate)
    struck = velocities(plan, arrangement)
    found: dict[str, list[Event]] = {}
    for part in plan.parts:
        notes = arrangement.part(part.name)
        found[part.name] = []
        for stroke in arrangement.strokes(part.name):
            for index, note in enumerate(stroke):
                start = round(note.onset * samples / plan.slots)
                end = round(sounding_end(plan, part, note, notes) * samples / plan.slots)
                late = min(round(index * STRUM * rate), (end - start) // 2) if len(stroke) > 2 else 0
                found[part.name].append(Event(start + late, end - start - late, note.pitch, struck[note]))
    return found


def sounding_end(plan: Plan, part: PartPlan, note: Note, notes: tuple[Note, ...]) -> int:
    """First slot in which a note no longer sounds, past the loop's end where it rings over the seam.

    A note of a broken chord rings until its string is struck again or the hand leaves the chord, as it is heard by
    the rules; every other note has the length that is written.
    """
    if not part.rings:
        return note.end
    again = [
        other.onset
        for other in notes
        if other.onset > note.onset and (other.pitch == note.pitch or _same_string(note, other))
    ]
    return max(note.end, min([plan.hold_end(part, note.onset), *again]))


def _same_string(one: Note, other: Note) -> bool:
    return one.string is not None and one.string == other.string
