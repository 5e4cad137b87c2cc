"""Real tunes and chorales against broken versions, on a small fixed sample; `python -m tests.bench ranking` is whole.

The sample is of the collection that weights are fitted on: the others are for the report alone. The thresholds lie
below what the whole run measures by about what a sample of this size may miss it.
"""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from solver.search.weights import load_weights
from tests.outside.ranking.broken_tunes import BREAKINGS
from tests.outside.ranking.chorales import chorale_loops
from tests.outside.ranking.telling import Pair, share_right, texture_pairs, tune_pairs
from tests.outside.ranking.tunes import FITTED_ON, Tune, drawn_loops

TUNES = 14
CHORALES = 8
TIMES = 2  # each is broken so often
LEAST = {
    "notes shuffled": 0.85,
    "steps from the same histogram": 0.75,
    "a bar moved by a scale step": 0.65,
    "onsets shuffled": 0.75,
}


@cache
def loops() -> tuple[Tune, ...]:
    return tuple(drawn_loops(FITTED_ON, TUNES))


@cache
def pairs() -> list[Pair]:
    return tune_pairs(loops(), LEAST)


@pytest.mark.parametrize("breaking", LEAST)
def test_the_real_tune_is_ranked_above_the_broken_one(breaking: str) -> None:
    share, number = share_right(pairs(), breaking, load_weights())
    assert number >= 12
    assert share >= LEAST[breaking]


@pytest.mark.parametrize("breaking", BREAKINGS)
def test_broken_versions_keep_scale_range_and_length(breaking: str) -> None:
    """Else the key or the range would give them away."""
    for index, tune in enumerate(loops()):
        broken = BREAKINGS[breaking](tune, loops(), Random(index))
        if broken is None:
            continue
        assert (broken.onsets, broken.pitches) != (tune.onsets, tune.pitches)
        assert set(broken.pitches) <= set(tune.ladder)
        assert broken.slots == tune.slots
        assert all(a.end == b.onset for a, b in zip(broken.notes, broken.notes[1:], strict=False))
        assert broken.notes[-1].end == tune.slots
        if not breaking.startswith("last bar"):
            assert len(broken.notes) == len(tune.notes)


def test_shuffles_keep_what_they_shuffle() -> None:
    for index, tune in enumerate(loops()):
        notes = BREAKINGS["notes shuffled"](tune, (), Random(index))
        onsets = BREAKINGS["onsets shuffled"](tune, (), Random(index))
        assert notes is None or (notes.onsets == tune.onsets and sorted(notes.pitches) == sorted(tune.pitches))
        assert onsets is None or onsets.pitches == tune.pitches


def test_a_transposed_voice_is_heard() -> None:
    loops = list(chorale_loops(CHORALES)) * TIMES
    share, number = share_right(texture_pairs(loops, ("a voice transposed",)), "a voice transposed", load_weights())
    assert number == CHORALES * TIMES
    assert share >= 0.65
