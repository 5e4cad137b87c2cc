"""The study of sound by mir_eval's figures, on four renders; ``python -m tests.bench.study_audio`` takes all loops.

The bounds are our own, under what was measured on all 22: tempo found in 18, the key among the candidates in 21, key
0.79, chords 0.86, onsets 0.87, notes with pitch 0.85. The first of the four is the one that did worst.
"""

from __future__ import annotations

from statistics import mean

import pytest

LOOPS = ("tide-table", "pier-waltz", "two-in-one-boat", "gull-watch")


@pytest.mark.audio
def test_renders_of_reference_loops() -> None:
    from tests.outside.audio_figures import scores

    found = [scores(name) for name in LOOPS]
    assert sum(score.tempo for score in found) >= 3, found
    assert sum(score.candidate for score in found) >= 3, found
    assert mean(score.key for score in found) >= 0.4, found
    assert mean(score.chords for score in found) >= 0.75, found
    assert mean(score.onsets for score in found) >= 0.75, found
    assert mean(score.notes for score in found) >= 0.75, found
