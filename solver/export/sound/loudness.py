"""How loud a loop is: integrated loudness (ITU-R BS.1770-4, EBU R 128) and true peak, as it sounds when repeated.

A meter that reads the loop once misses what the seam does; so the loop is measured with its own start after its end.
pyloudnorm's ``DeMan`` filters are used, as its default ones read the standard's anchor 0.04 LU low.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Audio = NDArray[np.floating]

BLOCK = 0.4  # seconds of the standard's gating block
LEAST = 1.2  # seconds to measure at least
OVERSAMPLING = 4
TAPS = 12  # samples to each side that the interpolation sees
STEP = 200  # samples of a block in which a peak is looked for
CHUNK = 64  # blocks that are looked at together


def integrated(audio: Audio, rate: int) -> float:
    """Integrated loudness in LUFS of audio of shape (samples, channels), as it is; at least 0.4 s of it."""
    import pyloudnorm

    return float(pyloudnorm.Meter(rate, filter_class="DeMan").integrated_loudness(audio))


def loop_loudness(loop: Audio, rate: int) -> float:
    """Integrated loudness in LUFS of a loop of any length played on and on; -inf for silence."""
    wanted = max(len(loop) + int(BLOCK * rate), int(LEAST * rate))
    return integrated(_onwards(loop, wanted), rate)


def loop_true_peak(loop: Audio) -> float:
    """True peak in dBTP of a loop played on and on, by fourfold oversampling (BS.1770-4 annex 2); -inf for silence.

    Blocks are interpolated from the loudest on, as long as they can hold the peak: between samples, a signal is at
    most as large as the largest sample in reach times the sum of the interpolation filter's coefficients.
    """
    from scipy.signal import firwin, resample_poly

    peak = float(np.abs(loop).max())
    if peak == 0:
        return -math.inf
    taps = np.asarray(firwin(2 * TAPS * OVERSAMPLING + 1, 1 / OVERSAMPLING), dtype=np.float64)
    growth = max(OVERSAMPLING * float(np.abs(taps[phase::OVERSAMPLING]).sum()) for phase in range(OVERSAMPLING))
    blocks = -(-len(loop) // STEP)
    # Every block with what lies in reach before and after it, round the seam.
    around = _onwards(np.roll(loop, TAPS, axis=0), blocks * STEP + 2 * TAPS)
    windows = np.lib.stride_tricks.sliding_window_view(around, STEP + 2 * TAPS, axis=0)[::STEP]
    loudest = np.abs(windows).max(axis=(1, 2))
    order = np.argsort(-loudest, kind="stable")
    for at in range(0, len(order), CHUNK):
        chunk = order[at : at + CHUNK]
        if loudest[chunk[0]] * growth <= peak:
            break
        fine = resample_poly(windows[chunk], OVERSAMPLING, 1, axis=-1, window=taps)
        peak = max(peak, float(np.abs(fine[..., TAPS * OVERSAMPLING : -TAPS * OVERSAMPLING]).max()))
    return 20 * math.log10(peak)


def _onwards(loop: Audio, samples: int) -> Audio:
    """The first samples of a loop played on and on."""
    times = -(-samples // len(loop))
    return np.concatenate([loop] * times)[:samples] if times > 1 else loop[:samples]
