"""Finished music as plain notes. Nothing here knows of briefs' files, solvers or sound.

Units: onset and length in slots (the brief's ``grid`` slots a bar, counted from the loop's start),
pitch as a MIDI number (60 is middle C, 69 is 440 Hz), string 1 is the highest-pitched string.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solver.rules.rule import Breach


@dataclass(frozen=True, order=True)
class Note:
    """One note of one part; ``string`` and ``fret`` are given where the search chose them.

    ``ornament`` is one of ``solver.music.ornaments.KINDS``, or None; the note is written plain and played with it.
    """

    part: str
    onset: int
    length: int
    pitch: int
    string: int | None = None
    fret: int | None = None
    ornament: str | None = None

    @property
    def end(self) -> int:
        """First slot in which the note no longer sounds."""
        return self.onset + self.length


@dataclass(frozen=True)
class Arrangement:
    """All notes of a loop, sorted by part, onset and pitch."""

    notes: tuple[Note, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "notes", tuple(sorted(self.notes, key=lambda n: (n.part, n.onset, n.pitch, n.length))))

    @cached_property
    def by_part(self) -> dict[str, tuple[Note, ...]]:
        """The notes of each part that has any, in order of onset, low to high."""
        parts: dict[str, list[Note]] = {}
        for note in self.notes:
            parts.setdefault(note.part, []).append(note)
        return {name: tuple(notes) for name, notes in parts.items()}

    def part(self, name: str) -> tuple[Note, ...]:
        """The notes of one part in order of onset; empty where the part is silent."""
        return self.by_part.get(name, ())

    def strokes(self, name: str) -> tuple[tuple[Note, ...], ...]:
        """The notes of one part grouped by onset: one group a slot in which the part starts a note."""
        groups: list[list[Note]] = []
        for note in self.part(name):
            if groups and groups[-1][0].onset == note.onset:
                groups[-1].append(note)
            else:
                groups.append([note])
        return tuple(tuple(group) for group in groups)


@dataclass(frozen=True)
class Mark:
    """How one merit judges an arrangement: points from 0 to 100, its weight, and why in one sentence."""

    merit: str
    points: float
    weight: int
    sentence: str


@dataclass(frozen=True)
class Nearest:
    """The passage that comes nearest to one avoided source.

    ``similarity`` is from 0 to 1 as ``solver.study.similarity.nearest_passage`` defines it; ``shared`` is the longest
    run of intervals with their rhythm that any part has in common with the source, plain runs not counted. Bars are
    the first and the last, from 1. Where only plain passages could be compared, ``part`` is None and bars are empty.
    """

    source: str
    part: str | None
    bars: tuple[int, ...]
    source_part: str | None
    source_bars: tuple[int, ...]
    similarity: float
    shared: int


@dataclass(frozen=True)
class Ranked:
    """An arrangement with its judgement.

    ``total`` and ``bound`` are on the scale 0 to 100; ``bound`` is the highest total that any arrangement in
    the same rhythm can reach, and ``proved`` says that this one reaches it. ``excused`` are the rules that held notes
    break, and where.
    """

    arrangement: Arrangement
    total: float
    bound: float
    proved: bool
    marks: tuple[Mark, ...]
    summary: str = ""
    nearest: tuple[Nearest, ...] = ()  # one for each avoided source
    excused: tuple[Breach, ...] = ()

    @property
    def proof(self) -> str:
        """How good this is against the best possible for its rhythm, in words."""
        if self.proved:
            return "best possible for this rhythm"
        gap = 100 * (self.bound - self.total) / max(self.bound, 1e-9)
        return f"within {max(gap, 0.1):.1f} %"
