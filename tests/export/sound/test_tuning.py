"""The measure by which samples are put in tune, on tones whose tuning is known."""

from __future__ import annotations

import numpy as np
import pytest

from solver.export.sound.tuning import MUTED, SUSTAINED, cents_off, needed
from solver.music.pitch import frequency


def tone(pitch: int, cents: float, rate: int) -> np.ndarray:
    time = np.arange(needed(rate)) / rate
    wave = frequency(pitch) * 2 ** (cents / 1200)
    partials = [np.sin(2 * np.pi * wave * number * time) / number for number in range(1, 6)]
    return np.sum(partials, axis=0) * np.exp(-3 * time) * 0.2


@pytest.mark.parametrize("rate", [44_100, 48_000])
@pytest.mark.parametrize("cents", [-43.0, -3.0, 0.0, 0.4, 17.0])
def test_a_known_error_is_found(cents: float, rate: int) -> None:
    for pitch in (40, 57, 76):
        for times in (SUSTAINED, MUTED):
            assert cents_off(tone(pitch, cents, rate), pitch, rate, times) == pytest.approx(cents, abs=0.3)


def test_silence_and_other_pitches_have_none() -> None:
    assert cents_off(np.zeros(needed(44_100)), 60, 44_100) is None
    assert cents_off(tone(60, 95, 44_100), 60, 44_100) is None
