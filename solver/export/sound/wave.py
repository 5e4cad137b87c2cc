"""Audio as a WAV file's bytes: the same samples always give the same bytes."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray

FULL_SCALE = 32_768


def wav_bytes(audio: NDArray[np.floating], rate: int) -> bytes:
    """A 16-bit WAV file of audio of shape (samples, channels) between -1 and 1; what lies beyond is cut."""
    import soundfile

    whole = np.clip(np.rint(np.asarray(audio, dtype=np.float64) * FULL_SCALE), -FULL_SCALE, FULL_SCALE - 1)
    buffer = io.BytesIO()
    soundfile.write(buffer, whole.astype(np.int16), rate, format="WAV", subtype="PCM_16")
    return buffer.getvalue()
