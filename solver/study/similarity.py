"""How alike two lines are: the runs that they share, and a figure for the passages that are nearest to each other.

Between neighbouring strokes lies a *move*: the interval in semitones, and the time from onset to onset in quarter
notes. Moves know nothing of the pitch on which a line starts, so transposition hides nothing; a line in other note
values is another rhythm. Lines are loops: a run may go over the seam.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import accumulate

from solver.avoided import LoopLine, Move

LEAST_PITCHES = 3  # a run on fewer pitch classes is a repeated note or a shake
# Intervals above the root: major, minor, diminished, augmented, sus2, sus4 and the seventh chords.
CHORD_SHAPES = tuple(
    frozenset(shape)
    for shape in (
        (0, 4, 7), (0, 3, 7), (0, 3, 6), (0, 4, 8), (0, 2, 7), (0, 5, 7),
        (0, 4, 7, 10), (0, 4, 7, 11), (0, 3, 7, 10), (0, 3, 6, 10), (0, 3, 6, 9),
    )
)  # fmt: skip
PASSAGE = 8  # moves of a passage that is held against another line


@dataclass(frozen=True)
class SharedRun:
    """A run of ``moves`` moves that two lines share, from stroke ``first`` of one and ``second`` of the other."""

    moves: int
    first: int
    second: int


@dataclass(frozen=True)
class Passage:
    """``moves`` moves of one line from stroke ``first``, and what is nearest to them in the other: from stroke
    ``second`` to stroke ``last``, at an edit distance of ``edits``."""

    moves: int
    first: int
    second: int
    last: int
    edits: int

    @property
    def similarity(self) -> float:
        """From 0 to 1: 1 - edits / moves."""
        return 1 - self.edits / self.moves


def is_plain(intervals: Iterable[int]) -> bool:
    """Whether a run of intervals is nobody's own: on fewer than three pitch classes, or on the tones of one plain chord
    (triad or seventh chord)."""
    return _is_plain(frozenset(pitch % 12 for pitch in accumulate(intervals, initial=0)))


@cache
def _is_plain(classes: frozenset[int]) -> bool:
    if len(classes) < LEAST_PITCHES:
        return True
    return any(frozenset((pc - root) % 12 for pc in classes) <= shape for root in range(12) for shape in CHORD_SHAPES)


def shared_runs(one: LoopLine, other: LoopLine) -> Iterator[SharedRun]:
    """Every run of moves, intervals with their rhythm, that two loops share and that cannot be drawn out further.

    A run goes once round the first loop at most, and as often as it likes round the other. Runs that anybody plays are
    left out: a repeated note or a shake of two pitches, and the tones of one plain chord.
    """
    mine, theirs = _codes(one.moves, other.moves)
    places: dict[int, list[int]] = {}
    for j, code in enumerate(theirs):
        places.setdefault(code, []).append(j)
    for i, code in enumerate(mine):
        for j in places.get(code, ()):
            began = mine[i - 1] != theirs[j - 1]
            if not began and i > 0:
                continue
            size = 1
            while size < len(mine) and mine[(i + size) % len(mine)] == theirs[(j + size) % len(theirs)]:
                size += 1
            # A run without a beginning goes round and round; it is told once, from the first stroke.
            if (began or size == len(mine)) and not is_plain(_intervals(one, i, size)):
                yield SharedRun(size, i, j)


def nearest_passage(one: LoopLine, other: LoopLine) -> Passage | None:
    """Of all passages of eight moves of the first loop (of all its moves, where it has fewer) that are not plain, the
    one to which some stretch of the other is nearest; of equal ones the earliest. None where all are plain.

    The distance is the edit distance (Levenshtein 1966, Soviet Physics Doklady 10(8) 707-710: fewest insertions,
    deletions and substitutions, each counting 1) between the sequences of moves, a move being an interval and an
    inter-onset time together, to the best stretch of the other line (Sellers 1980, Journal of Algorithms 1, 359-373;
    from memory). Normalised by the passage's length as in Müllensiefen and Frieler 2004, Computing in Musicology 13,
    147-176 (from memory).
    """
    import numpy

    mine, theirs = _codes(one.moves, other.moves)
    size = min(PASSAGE, len(mine))
    starts: dict[tuple[int, ...], int] = {}
    for i in range(len(mine)):
        passage = tuple(mine[(i + k) % len(mine)] for k in range(size))
        if passage not in starts and not is_plain(_intervals(one, i, size)):
            starts[passage] = i
    if not starts:
        return None
    patterns = numpy.array(list(starts), dtype=numpy.int32)
    text = [theirs[j % len(theirs)] for j in range(len(theirs) + size)]
    differs = patterns[:, :, None] != numpy.array(text, dtype=numpy.int32)
    at = numpy.arange(len(text) + 1, dtype=numpy.int32)
    row = numpy.zeros((len(patterns), len(text) + 1), dtype=numpy.int32)  # a stretch may begin anywhere
    for k in range(size):
        entered = row + 1
        entered[:, 1:] = numpy.minimum(entered[:, 1:], row[:, :-1] + differs[:, k])
        # Insertions go on along the row: the least of entered[j'] + (j - j') over all j' up to j.
        row = numpy.minimum.accumulate(entered - at, axis=1) + at
    chosen, end = (int(index) for index in numpy.unravel_index(int(row.argmin()), row.shape))
    edits = int(row[chosen, end])
    pattern = list(starts)[chosen]
    # Of the stretches that end there at this distance the one of the passage's own length is easiest to point at.
    begin = min(
        (start for start in range(max(0, end - 2 * size), end + 1) if edit_distance(pattern, text[start:end]) == edits),
        key=lambda start: (abs(end - start - size), start),
    )
    return Passage(size, starts[pattern], begin % len(theirs), end % len(theirs), edits)


def edit_distance(one: Sequence[object], other: Sequence[object]) -> int:
    """Fewest insertions, deletions and substitutions that turn one sequence into the other (Levenshtein 1966)."""
    row = list(range(len(other) + 1))
    for i, item in enumerate(one, start=1):
        before, row[0] = row[0], i
        for j, match in enumerate(other, start=1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (item != match))
    return row[len(other)]


def _codes(one: Sequence[Move], other: Sequence[Move]) -> tuple[list[int], list[int]]:
    """Both lines' moves as numbers, the same for the same move."""
    numbers: dict[Move, int] = {}
    return [numbers.setdefault(m, len(numbers)) for m in one], [numbers.setdefault(m, len(numbers)) for m in other]


def _intervals(line: LoopLine, first: int, size: int) -> list[int]:
    return [line.moves[(first + k) % len(line.moves)].interval for k in range(size)]
