"""What a plan's held notes ask of a part's rhythm, and which of them falls on which onset."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.held import Held

Onsets = tuple[int, ...]
Stroke = tuple[Note, ...]


@dataclass(frozen=True)
class Bound:
    """What one bar of a part has to keep: in the slots ``fixed`` (from the bar's start) a note starts in those of
    ``onsets`` alone. ``count`` is the number of notes in the bar where pitches are held in it, else None."""

    fixed: frozenset[int] = frozenset()
    onsets: frozenset[int] = frozenset()
    count: int | None = None

    def over(self, cell: Onsets) -> Onsets:
        """The cell with what is held in place of what it had there."""
        return tuple(sorted(self.onsets | (set(cell) - self.fixed)))


@dataclass(frozen=True)
class Stretch:
    """Slots ``start`` to ``end`` (exclusive) in which so many notes have to start."""

    start: int
    end: int
    count: int

    def holds(self, onsets: Onsets) -> bool:
        """Whether so many do."""
        return sum(1 for onset in onsets if self.start <= onset < self.end) == self.count


def held_of(plan: Plan, part: PartPlan) -> tuple[Held, ...]:
    """What is held of a part."""
    return tuple(held for held in plan.held if held.part == part.name)


def strokes(held: Held) -> tuple[Stroke, ...]:
    """The held notes, those that start together in one group, in order."""
    ordered = sorted(held.notes, key=lambda note: (note.onset, note.pitch))
    return tuple(tuple(group) for _, group in groupby(ordered, key=lambda note: note.onset))


def bounds(plan: Plan, part: PartPlan) -> dict[int, Bound]:
    """What is held of the part's rhythm, by bar from 0; bars that are free are left out."""
    fixed: set[int] = set()
    onsets: set[int] = set()
    counts: dict[int, int] = {}
    grid = plan.metre.grid
    for held in held_of(plan, part):
        if held.aspect == "pitch":
            if held.end - held.start <= grid and plan.bar_of(held.start) == plan.bar_of(held.end - 1):
                whole = held.end - held.start == grid
                counts |= {plan.bar_of(held.start): len(strokes(held))} if whole else {}
            continue
        fixed |= set(range(held.start, held.end))
        onsets |= {note.onset for note in held.notes}
        if not part.rings:  # a note that sounds on past the stretch lets none start under it
            fixed |= {slot for note in held.notes for slot in range(note.onset + 1, min(note.end, plan.slots))}
    found: dict[int, Bound] = {}
    for bar in range(plan.bars):
        inside = range(bar * grid, (bar + 1) * grid)
        bound = Bound(
            frozenset(slot - bar * grid for slot in inside if slot in fixed),
            frozenset(slot - bar * grid for slot in inside if slot in onsets),
            counts.get(bar),
        )
        if bound != Bound():
            found[bar] = bound
    return found


def stretches(plan: Plan, part: PartPlan) -> tuple[Stretch, ...]:
    """Where pitches alone are held, and for how many notes."""
    return tuple(
        Stretch(held.start, held.end, len(strokes(held))) for held in held_of(plan, part) if held.aspect == "pitch"
    )


def wanted_strokes(plan: Plan, part: PartPlan, onsets: Sequence[int]) -> dict[int, tuple[Held, Stroke]]:
    """Which held stroke each note of a rhythm has to be, by the note's index; free notes are left out.

    Where pitches alone are held, the notes of the stretch take them in order.
    """
    found: dict[int, tuple[Held, Stroke]] = {}
    for held in held_of(plan, part):
        inside = [index for index, onset in enumerate(onsets) if held.start <= onset < held.end]
        if held.aspect == "pitch":
            found |= {index: (held, stroke) for index, stroke in zip(inside, strokes(held), strict=False)}
        elif held.aspect == "notes":
            by_onset = {stroke[0].onset: stroke for stroke in strokes(held)}
            found |= {index: (held, by_onset[onsets[index]]) for index in inside if onsets[index] in by_onset}
    return found


def held_lengths(plan: Plan, part: PartPlan) -> dict[int, int]:
    """How long held strokes last, by onset; the longest note of each counts."""
    return {
        stroke[0].onset: max(note.length for note in stroke)
        for held in held_of(plan, part)
        if held.aspect != "pitch"
        for stroke in strokes(held)
    }


def held_onsets(plan: Plan, part: PartPlan) -> frozenset[int]:
    """The onsets that are held."""
    return frozenset(held_lengths(plan, part))
