"""A reference on a grid: bars, slots and parts, as everything that is concluded from it reads them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from solver.arrangement import Arrangement, Note
from solver.music.metre import Metre


@dataclass(frozen=True)
class LoopPart:
    """One part: its notes by onset (slots of the loop's grid), its General MIDI program where it is known, and the
    name that the file gives it ("" where it gives none)."""

    name: str
    notes: tuple[Note, ...]
    program: int | None = None
    given: str = ""

    @cached_property
    def strokes(self) -> tuple[tuple[Note, ...], ...]:
        """The notes grouped by onset, each group from low to high."""
        return Arrangement(self.notes).strokes(self.name)

    @cached_property
    def tops(self) -> tuple[tuple[int, int], ...]:
        """Onset and highest pitch of each stroke: the line that melodic findings count."""
        return tuple((stroke[0].onset, stroke[-1].pitch) for stroke in self.strokes)

    @cached_property
    def middle(self) -> float:
        """Mean pitch, weighted by length."""
        return sum(note.pitch * note.length for note in self.notes) / sum(note.length for note in self.notes)

    def renamed(self, name: str) -> LoopPart:
        """The same part under another name."""
        return LoopPart(name, tuple(replace(note, part=name) for note in self.notes), self.program, self.given)


@dataclass(frozen=True)
class Loop:
    """All parts on one grid. ``tempo`` is in quarters a minute, None where the file gives none."""

    metre: Metre
    bars: int
    tempo: float | None
    parts: tuple[LoopPart, ...]
    remarks: tuple[str, ...] = ()

    @property
    def slots(self) -> int:
        """Slots in the whole loop."""
        return self.bars * self.metre.grid

    @property
    def quarters_per_slot(self) -> Fraction:
        """Length of a slot in quarter notes."""
        return self.metre.quarters_per_bar / self.metre.grid

    @cached_property
    def notes(self) -> tuple[Note, ...]:
        """All notes of all parts, by onset and pitch."""
        return tuple(sorted((note for part in self.parts for note in part.notes), key=lambda n: (n.onset, n.pitch)))

    def place(self, slot: int) -> str:
        """Where a slot is, as a musician counts: ``bar 3, beat 2.5``."""
        bar, beat = self.metre.bar_and_beat(slot)
        return f"bar {bar}, beat {beat:g}"

    def with_parts(self, parts: tuple[LoopPart, ...]) -> Loop:
        """The same loop with other parts."""
        return replace(self, parts=parts)
