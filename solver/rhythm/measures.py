"""Published measures of rhythm on onset sets. Times are slots; ``length`` is the cycle's length in slots.

Sources: Gómez, Melvin, Rappaport and Toussaint 2005 (weighted note-to-beat distance); Toussaint 2013,
"The Geometry of Musical Rhythm" (nPVI). Longuet-Higgins and Lee's syncopation is in ``solver.music.metre``.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from fractions import Fraction


def intervals(onsets: Sequence[int], length: int) -> tuple[int, ...]:
    """Distances from each onset to the next, the last one leading back to the first; they sum to ``length``."""
    if not onsets:
        return ()
    following = [*onsets[1:], onsets[0] + length]
    return tuple(after - before for before, after in zip(onsets, following, strict=True))


def note_to_beat_distance(onsets: Sequence[int], length: int, beat: int) -> Fraction:
    """Mean weighted note-to-beat distance (Gómez et al. 2005); ``beat`` is slots a beat. 0 for no onsets.

    A note on a beat counts nothing. Else 1/T, T being the distance to the nearest beat in beats, doubled where the
    note lasts past the next beat but ends before the second one (ending exactly there counts once).
    """
    if not onsets:
        return Fraction(0)
    total = Fraction(0)
    for onset, gap in zip(onsets, intervals(onsets, length), strict=True):
        offset = onset % beat
        if offset == 0:
            continue
        distance = Fraction(min(offset, beat - offset), beat)
        end, next_beat = onset + gap, onset - offset + beat
        total += (2 if next_beat < end < next_beat + beat else 1) / distance
    return total / len(onsets)


def npvi(onsets: Sequence[int], length: int) -> float:
    """Normalised pairwise variability index of neighbouring intervals, not cyclic (Toussaint 2013, Fig. 17.13).

    0 is a row of equal intervals.
    """
    gaps = intervals(onsets, length)
    pairs = list(itertools.pairwise(gaps))
    if not pairs:
        return 0.0
    return 100 / len(pairs) * sum(abs(a - b) / ((a + b) / 2) for a, b in pairs)
