"""Broken versions of a tune. Every one stays in the tune's scale and between its lowest and highest note, and has as
many notes: otherwise key, range or density would give it away. None where a tune cannot be broken in that way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from random import Random

from tests.outside.ranking.tunes import BARS, Tune, line

TRIES = 50

Breaking = Callable[[Tune, Sequence[Tune], Random], Tune | None]


def shuffled_notes(tune: Tune, others: Sequence[Tune], random: Random) -> Tune | None:
    """The same rhythm, the same pitches in another order."""
    pitches = list(tune.pitches)
    random.shuffle(pitches)
    return _with_pitches(tune, pitches)


def steps_from_histogram(tune: Tune, others: Sequence[Tune], random: Random) -> Tune | None:
    """A walk in the scale: from the tune's first note on by moves drawn from the tune's own moves, in scale steps.

    A move that would leave the range is drawn again.
    """
    ladder = tune.ladder
    places = [ladder.index(pitch) for pitch in tune.pitches]
    moves = [b - a for a, b in pairwise(places)]
    walk = [places[0]]
    while len(walk) < len(places):
        inside = [move for move in moves if 0 <= walk[-1] + move < len(ladder)]
        if not inside:
            return None
        walk.append(walk[-1] + random.choice(inside))
    return _with_pitches(tune, [ladder[place] for place in walk])


def bar_moved_a_step(tune: Tune, others: Sequence[Tune], random: Random) -> Tune | None:
    """One bar, up or down by a step of the scale."""
    ladder = tune.ladder
    choices = [(bar, way) for bar in range(BARS) for way in (1, -1)]
    random.shuffle(choices)
    for bar, way in choices:
        inside = [i for i, onset in enumerate(tune.onsets) if onset // tune.metre.grid == bar]
        places = [ladder.index(tune.pitches[i]) + way for i in inside]
        if inside and all(0 <= place < len(ladder) for place in places):
            pitches = list(tune.pitches)
            for i, place in zip(inside, places, strict=True):
                pitches[i] = ladder[place]
            return _with_pitches(tune, pitches)
    return None


def shuffled_onsets(tune: Tune, others: Sequence[Tune], random: Random) -> Tune | None:
    """The same pitches in the same order, the times from note to note in another order."""
    ends = (*tune.onsets[1:], tune.slots)
    lengths = [b - a for a, b in zip(tune.onsets, ends, strict=True)]
    for _ in range(TRIES):
        random.shuffle(lengths)
        onsets = tuple(sum(lengths[:i]) for i in range(len(lengths)))
        if onsets != tune.onsets:
            return Tune(tune.name, tune.key, tune.metre, line(onsets, tune.pitches, tune.slots))
    return None


def last_bar_of_another(tune: Tune, others: Sequence[Tune], random: Random) -> Tune | None:
    """The last bar is the last bar of another tune in the same key and metre, in octaves that stay in range."""
    return _with_last_bar(tune, others, random, (BARS - 1,))


def last_bar_from_within_another(tune: Tune, others: Sequence[Tune], random: Random) -> Tune | None:
    """The last bar is any bar but the last of another tune in the same key and metre."""
    return _with_last_bar(tune, others, random, range(BARS - 1))


BREAKINGS: dict[str, Breaking] = {
    "notes shuffled": shuffled_notes,
    "steps from the same histogram": steps_from_histogram,
    "a bar moved by a scale step": bar_moved_a_step,
    "onsets shuffled": shuffled_onsets,
    "last bar of another tune": last_bar_of_another,
    "last bar from within another tune": last_bar_from_within_another,
}


def _with_last_bar(tune: Tune, others: Sequence[Tune], random: Random, bars: Sequence[int]) -> Tune | None:
    grid, ladder = tune.metre.grid, tune.ladder
    kin = [other for other in others if (other.key, other.metre) == (tune.key, tune.metre) and other != tune]
    for _ in range(TRIES if kin else 0):
        other, bar = random.choice(kin), random.choice(bars)
        taken = [note for note in other.notes if note.onset // grid == bar]
        if not taken or not all(note.pitch in ladder for note in taken):
            continue
        kept = [note for note in tune.notes if note.onset < (BARS - 1) * grid]
        onsets = [note.onset for note in kept] + [note.onset % grid + (BARS - 1) * grid for note in taken]
        pitches = [note.pitch for note in (*kept, *taken)]
        broken = Tune(tune.name, tune.key, tune.metre, line(tuple(onsets), tuple(pitches), tune.slots))
        if (broken.onsets, broken.pitches) != (tune.onsets, tune.pitches):
            return broken
    return None


def _with_pitches(tune: Tune, pitches: Sequence[int]) -> Tune | None:
    if tuple(pitches) == tune.pitches:
        return None
    return Tune(tune.name, tune.key, tune.metre, line(tune.onsets, tuple(pitches), tune.slots))
