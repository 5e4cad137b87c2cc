"""What sounds when, in samples: the notes of a part as they are played, for strings and samples alike."""

from __future__ import annotations

from dataclasses import dataclass

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.export.performing import performed


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


def events_of(plan: Plan, arrangement: Arrangement, rate: int, *, once: bool = False) -> dict[str, list[Event]]:
    """The notes of every part with the plan's feel, each at its absolute place (nothing adds up to a drift).

    What is played ahead of the loop's start sounds at its end; played ``once`` only, it starts with it.
    """
    samples = loop_samples(plan, rate)
    found: dict[str, list[Event]] = {}
    for name, notes in performed(plan, arrangement, plan.feel).items():
        part, written = plan.part(name), arrangement.part(name)
        found[name] = []
        for played in notes:
            start = round(played.start * samples / plan.slots)
            until = sounding_end(plan, part, played.note, written) if part.rings else played.end
            held = max(round(until * samples / plan.slots) - start, 1)
            start = max(start, 0) if once else start % samples
            found[name].append(Event(start, held, played.pitch, played.velocity))
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
