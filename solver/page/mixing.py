"""Adding up WAV files of one length."""

from __future__ import annotations

import io
from collections.abc import Iterable

import numpy as np


def mixed(wavs: Iterable[bytes]) -> bytes:
    """The sum of 16-bit WAV files of equal length and rate, as one; turned down where it would go beyond full scale."""
    import soundfile

    from solver.export.sound.wave import wav_bytes

    total, rate = np.zeros((1, 1)), 0
    for data in wavs:
        audio, rate = soundfile.read(io.BytesIO(data), dtype="float64", always_2d=True)
        total = total + audio
    return wav_bytes(total / max(1.0, float(np.abs(total).max())), rate)
