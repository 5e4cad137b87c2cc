"""The plain beat: where its drums fall, and that it is exactly as long as the loop."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
import soundfile

from solver.export.sound.events import loop_samples
from solver.music.metre import parse_metre
from solver.page.beat import CLAP, HALF, SNARE, STRAIGHT, beat_wav, pattern
from tests.export.sample_plans import sample_plan


@pytest.mark.parametrize(
    ("meter", "style", "kick", "back"),
    [
        ("4/4", STRAIGHT, [0, 2], [1, 3]),
        ("4/4", HALF, [0], [2]),
        ("2/4", STRAIGHT, [0], [1]),
        ("6/8", STRAIGHT, [0], [1.5]),
        ("12/8", STRAIGHT, [0, 3], [1.5, 4.5]),
        ("12/8", HALF, [0], [3]),
    ],
)
def test_drums_fall_where_they_usually_do(meter: str, style: str, kick: list[float], back: list[float]) -> None:
    # Common practice, no source: the back beat answers the beat before it.
    found = pattern(parse_metre(meter), style)
    assert (found["kick"], found["back"]) == (kick, back)


@pytest.mark.parametrize("meter", ["2/4", "3/4", "4/4", "5/4", "6/8", "7/8", "12/8"])
@pytest.mark.parametrize("style", [STRAIGHT, HALF])
def test_every_metre_has_a_beat_that_starts_with_the_kick(meter: str, style: str) -> None:
    metre = parse_metre(meter)
    found = pattern(metre, style)
    assert found["kick"][0] == 0
    assert found["back"]
    assert not set(found["kick"]) & set(found["back"])
    assert all(0 <= place < metre.quarters_per_bar for places in found.values() for place in places)


@pytest.mark.parametrize("tempo", [None, 73.5])
def test_it_is_as_long_as_the_loop_and_always_the_same(tempo: float | None) -> None:
    plan = sample_plan("one-rope")
    data = beat_wav(plan, tempo, STRAIGHT, SNARE)
    audio, rate = soundfile.read(io.BytesIO(data))
    assert len(audio) == loop_samples(replace(plan, tempo=tempo or plan.tempo), rate)
    assert 0.05 < np.abs(audio).max() < 1
    assert data == beat_wav(plan, tempo, STRAIGHT, SNARE)
    assert data != beat_wav(plan, tempo, STRAIGHT, CLAP)
