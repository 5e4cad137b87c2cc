"""What arrangements keep a distance from: the parts of references and of earlier takes, as moves without pitches."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from solver.arrangement import Note

LONGEST_SHARED = 5  # intervals in a row that may be the same; common practice, no source


@dataclass(frozen=True)
class Move:
    """From one stroke to the next: semitones (up is positive) and quarters from onset to onset."""

    interval: int
    quarters: Fraction


@dataclass(frozen=True)
class LoopLine:
    """One part, read as a loop: the last of its ``moves`` leads back to its first stroke.

    ``first`` is that stroke's onset in quarters. No pitch is kept, so that a line is the same in every key.
    """

    part: str
    first: Fraction
    moves: tuple[Move, ...]

    def onset(self, stroke: int) -> Fraction:
        """Quarters from the loop's start to a stroke; the one after the last is the first again."""
        return self.first + sum((move.quarters for move in self.moves[: stroke % len(self.moves)]), Fraction(0))


@dataclass(frozen=True)
class Avoided:
    """A source: its name (a file's path as it was given, or an arrangement of a take), quarters a bar, its parts."""

    name: str
    bar: Fraction
    lines: tuple[LoopLine, ...]


@dataclass(frozen=True)
class Avoidance:
    """Everything that a plan keeps clear of, and how many intervals in a row may be the same."""

    sources: tuple[Avoided, ...] = ()
    longest_shared: int = LONGEST_SHARED


NOTHING = Avoidance()


def loop_line(part: str, notes: tuple[Note, ...], slots: int, quarters_per_slot: Fraction) -> LoopLine | None:
    """A part's notes in a loop of ``slots`` slots as a line, of each stroke the top note; None below two strokes."""
    tops: dict[int, int] = {}
    for note in notes:
        tops[note.onset] = max(note.pitch, tops.get(note.onset, note.pitch))
    if len(tops) < 2:
        return None
    onsets = sorted(tops)
    moves = []
    for onset, then in zip(onsets, [*onsets[1:], slots + onsets[0]], strict=True):
        moves.append(Move(tops[then % slots] - tops[onset], (then - onset) * quarters_per_slot))
    return LoopLine(part, onsets[0] * quarters_per_slot, tuple(moves))


def bars_of(line: LoopLine, bar: Fraction, first: int, last: int) -> tuple[int, int]:
    """The bars, from 1, in which two strokes of a line lie; ``bar`` is a bar's length in quarters."""
    return int(line.onset(first) // bar) + 1, int(line.onset(last) // bar) + 1
