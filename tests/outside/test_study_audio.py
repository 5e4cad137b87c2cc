"""The study of sound by mir_eval's figures, on three renders; ``python -m tests.bench.study_audio`` takes all loops.

The bounds are our own, under what was measured on all: key 0.81, chords 0.88, onsets 0.85, notes with pitch 0.83.
"""

from __future__ import annotations

from statistics import mean

import pytest

LOOPS = ("tide-table", "pier-waltz", "two-in-one-boat")


@pytest.mark.audio
def test_renders_of_reference_loops() -> None:
    from tests.outside.audio_figures import scores

    found = [scores(name) for name in LOOPS]
    assert all(score.tempo and score.candidate for score in found), found
    assert mean(score.key for score in found) >= 0.4, found
    assert mean(score.chords for score in found) >= 0.75, found
    assert mean(score.onsets for score in found) >= 0.75, found
    assert mean(score.notes for score in found) >= 0.75, found
