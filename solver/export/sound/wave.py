"""Audio as a WAV file's bytes: the same samples always give the same bytes."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray

FULL_SCALE = 32_768
FULL_SCALE_24 = 1 << 23

Whole = NDArray[np.int32]


def wav_bytes(audio: NDArray[np.floating], rate: int) -> bytes:
    """A 16-bit WAV file of audio of shape (samples, channels) between -1 and 1; what lies beyond is cut."""
    import soundfile

    whole = np.clip(np.rint(np.asarray(audio, dtype=np.float64) * FULL_SCALE), -FULL_SCALE, FULL_SCALE - 1)
    buffer = io.BytesIO()
    soundfile.write(buffer, whole.astype(np.int16), rate, format="WAV", subtype="PCM_16")
    return buffer.getvalue()


def whole_steps(audio: NDArray[np.floating]) -> Whole:
    """Audio between -1 and 1 in whole steps of 24 bits; what lies beyond is cut."""
    steps = np.rint(np.asarray(audio, dtype=np.float64) * FULL_SCALE_24)
    return np.clip(steps, -FULL_SCALE_24, FULL_SCALE_24 - 1).astype(np.int32)


def wav_24_bytes(steps: Whole, rate: int) -> bytes:
    """A 24-bit WAV file of audio of shape (samples, channels) in whole steps."""
    import soundfile

    buffer = io.BytesIO()
    soundfile.write(buffer, np.left_shift(steps, 8), rate, format="WAV", subtype="PCM_24")
    return buffer.getvalue()
