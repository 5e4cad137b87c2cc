"""How alike two parts are: the longest run that they share, and a similarity figure.

A part is heard as a line of strokes, of which the top note counts. Between neighbouring strokes lies a *move*: the
interval in semitones, and the time from onset to onset in quarter notes. Moves know nothing of the pitch on which a
line starts, so transposition hides nothing; a line in other note values is another rhythm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from solver.arrangement import Note

LEAST_PITCHES = 3  # a run on fewer pitch classes is a repeated note or a shake
# Intervals above the root: major, minor, diminished, augmented, sus2, sus4 and the seventh chords.
CHORD_SHAPES = tuple(
    frozenset(shape)
    for shape in (
        (0, 4, 7), (0, 3, 7), (0, 3, 6), (0, 4, 8), (0, 2, 7), (0, 5, 7),
        (0, 4, 7, 10), (0, 4, 7, 11), (0, 3, 7, 10), (0, 3, 6, 10), (0, 3, 6, 9),
    )
)  # fmt: skip


@dataclass(frozen=True)
class Move:
    """From one stroke to the next: semitones (up is positive) and quarters from onset to onset."""

    interval: int
    quarters: Fraction


@dataclass(frozen=True)
class Line:
    """The strokes of one part by onset: ``onsets`` in quarters, ``pitches`` the top notes (MIDI)."""

    onsets: tuple[Fraction, ...]
    pitches: tuple[int, ...]

    @property
    def moves(self) -> tuple[Move, ...]:
        """The moves between neighbouring strokes, one fewer than strokes."""
        steps = pairwise(zip(self.onsets, self.pitches, strict=True))
        return tuple(Move(there - here, then - now) for (now, here), (then, there) in steps)


@dataclass(frozen=True)
class SharedRun:
    """A run of ``moves`` moves that two lines share, from stroke ``first`` of one, ``second`` of the other."""

    moves: int
    first: int
    second: int


def line_of(notes: Iterable[Note], quarters_per_slot: Fraction) -> Line:
    """One part's notes as a line; ``quarters_per_slot`` turns its slots into quarter notes."""
    tops: dict[int, int] = {}
    for note in notes:
        tops[note.onset] = max(note.pitch, tops.get(note.onset, note.pitch))
    onsets = sorted(tops)
    return Line(tuple(onset * quarters_per_slot for onset in onsets), tuple(tops[onset] for onset in onsets))


def longest_shared_run(one: Line, other: Line) -> SharedRun:
    """The longest run of moves, intervals with their rhythm, that both lines hold; of equal ones the earliest.

    Runs that anybody plays do not count: a repeated note or a shake of two pitches, and the tones of one plain chord
    (triad or seventh chord). Longest common substring by dynamic programming, in time one times other.
    """
    best = SharedRun(0, 0, 0)
    mine, theirs = one.moves, other.moves
    lengths = [0] * (len(theirs) + 1)
    for i, move in enumerate(mine, start=1):
        row = [0] * (len(theirs) + 1)
        for j, match in enumerate(theirs, start=1):
            if move != match:
                continue
            row[j] = lengths[j - 1] + 1
            if row[j] > best.moves and not is_plain(one.pitches[i - row[j] : i + 1]):
                best = SharedRun(row[j], i - row[j], j - row[j])
        lengths = row
    return best


def is_plain(pitches: Sequence[int]) -> bool:
    """Whether a run of pitches is nobody's own: fewer than three pitch classes, or the tones of one plain chord."""
    classes = frozenset(pitch % 12 for pitch in pitches)
    if len(classes) < LEAST_PITCHES:
        return True
    return any(frozenset((pc - root) % 12 for pc in classes) <= shape for root in range(12) for shape in CHORD_SHAPES)


def same_rhythm_and_contour(one: Line, other: Line) -> bool:
    """Whether two lines of the same length match in every onset-to-onset time and every direction (up, level, down)."""
    mine, theirs = one.moves, other.moves
    if len(mine) != len(theirs) or not mine:
        return False
    pairs = zip(mine, theirs, strict=True)
    return all(a.quarters == b.quarters and _sign(a.interval) == _sign(b.interval) for a, b in pairs)


def similarity(one: Line, other: Line) -> float:
    """How alike two lines are, from 0 to 1: 1 - d / n.

    d is the edit distance (Levenshtein 1966, Soviet Physics Doklady 10(8) 707-710: fewest insertions, deletions and
    substitutions, each counting 1) between the sequences of moves, a move being an interval and an inter-onset time
    together; n is the length of the longer sequence. Normalised as in Müllensiefen and Frieler 2004, Computing in
    Musicology 13, 147-176 (citation from memory). Two lines of one stroke or none are alike only in being empty: 0.
    """
    mine, theirs = one.moves, other.moves
    longer = max(len(mine), len(theirs))
    return 1 - edit_distance(mine, theirs) / longer if longer else 0.0


def edit_distance(one: Sequence[object], other: Sequence[object]) -> int:
    """Fewest insertions, deletions and substitutions that turn one sequence into the other (Levenshtein 1966)."""
    row = list(range(len(other) + 1))
    for i, item in enumerate(one, start=1):
        before, row[0] = row[0], i
        for j, match in enumerate(other, start=1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (item != match))
    return row[len(other)]


def _sign(interval: int) -> int:
    return (interval > 0) - (interval < 0)
