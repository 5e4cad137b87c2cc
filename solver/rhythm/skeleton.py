"""A rhythm skeleton: when every part's notes sound, and which slots share their pitch because they repeat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from solver.brief.plan import PartPlan, Plan
from solver.rhythm.held_notes import held_lengths, wanted_strokes

Onsets = tuple[int, ...]


@dataclass(frozen=True)
class NoteSlot:
    """One note to be pitched. ``end`` counts the ring of a broken chord; ``home`` is the index of the slot whose
    pitch it repeats (its own index where it has a pitch of its own). Times in slots."""

    part: str
    index: int
    onset: int
    length: int
    end: int
    home: int


@dataclass(frozen=True)
class Skeleton:
    """The note slots of each part, by part name, in order of onset."""

    slots: Mapping[str, tuple[NoteSlot, ...]]

    @cached_property
    def onsets(self) -> dict[str, Onsets]:
        """Onsets by part name."""
        return {name: tuple(slot.onset for slot in slots) for name, slots in self.slots.items()}

    @property
    def notes(self) -> int:
        """How many strokes there are in all."""
        return sum(len(slots) for slots in self.slots.values())


def note_slots(plan: Plan, part: PartPlan, onsets: Onsets) -> tuple[NoteSlot, ...]:
    """Slots for a part's onsets: each note lasts to the next one, at most ``longest``, never over a chord change.

    Held notes last as long as they are held, and where they can so do the same notes of other statements. A note of a
    repeat that is held with other pitches than the first statement's has pitches of its own.
    """
    index_of = {onset: index for index, onset in enumerate(onsets)}
    tail = plan.tail_start(part) if part.vary_notes[1] > 0 else plan.slots
    held = {} if part.rings else held_lengths(plan, part)
    alike = {plan.home_slot(part, onset): length for onset, length in sorted(held.items(), reverse=True)}
    homes = [
        index if onset >= tail else index_of.get(plan.home_slot(part, onset), index)
        for index, onset in enumerate(onsets)
    ]
    sounding: dict[int, tuple[int, ...]] = {}
    for index, (_, stroke) in sorted(wanted_strokes(plan, part, onsets).items()):
        pitches = tuple(note.pitch for note in stroke)
        if sounding.setdefault(homes[index], pitches) != pitches:
            homes[index] = index
    slots = []
    for index, onset in enumerate(onsets):
        change = plan.hold_end(part, onset)
        following = onsets[index + 1] if index + 1 < len(onsets) else plan.slots
        longest = alike.get(plan.home_slot(part, onset), part.longest)
        length = held.get(onset) or min(following - onset, longest, change - onset)
        slots.append(NoteSlot(part.name, index, onset, length, change if part.rings else onset + length, homes[index]))
    return tuple(slots)


def skeleton_from(plan: Plan, onsets: Mapping[str, Onsets]) -> Skeleton:
    """The skeleton of given onsets, by part name."""
    return Skeleton({part.name: note_slots(plan, part, onsets[part.name]) for part in plan.parts})
