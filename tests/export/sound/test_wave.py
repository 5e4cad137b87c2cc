"""WAV bytes."""

from __future__ import annotations

import io

import numpy as np
import soundfile

from solver.export.sound.wave import wav_bytes


def test_samples_survive_to_within_half_a_step_and_nothing_else_is_written() -> None:
    audio = np.stack([np.linspace(-1, 0.999, 500), np.zeros(500)], axis=1)
    data = wav_bytes(audio, 44_100)
    back, rate = soundfile.read(io.BytesIO(data))
    assert rate == 44_100
    assert back.shape == (500, 2)
    assert np.abs(back - audio).max() <= 0.5 / 32_768
    assert len(data) == 44 + 500 * 4  # the header of a plain PCM file and the samples: no time stamps
    assert data == wav_bytes(audio, 44_100)


def test_what_is_too_large_is_cut_not_wrapped() -> None:
    back, _ = soundfile.read(io.BytesIO(wav_bytes(np.array([[1.5, -1.5]]), 44_100)))
    assert back[0, 0] > 0.999
    assert back[0, 1] == -1.0
