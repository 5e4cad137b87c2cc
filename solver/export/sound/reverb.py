"""One room for all parts: convolution with fading noise, round the loop, so that the tail crosses the seam.

The response is noise under an exponential decay, three bands with decay times of their own (high sounds fade sooner),
after a short silence. It is seeded, so it is always the same room (Moorer 1979, Computer Music Journal 3(2), 13-28,
found that fading noise sounds like a good hall).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from solver.export.sound.looping import add_round

Samples = NDArray[np.float32]

RT60 = 1.1  # seconds in which the middle band falls by 60 dB
PRE_DELAY = 0.012  # seconds
BANDS = ((0.0, 350.0, 1.15), (350.0, 3000.0, 1.0), (3000.0, 9000.0, 0.6))  # from, to in Hz, share of RT60
LOW_CUT = 160.0  # Hz; below, a room only muddies
SEED = 1979
LENGTH = 1.15  # of the response, in RT60
BLOCK = 1 << 18  # samples that are transformed at once: what a processor's cache holds
ROOM_TAIL = LENGTH * RT60 + PRE_DELAY  # seconds that the room answers after a sound


@cache
def response(rate: int, rt60: float = RT60) -> NDArray[np.float64]:
    """The room's response, two channels of energy 1 each: shape (samples, 2), not to be changed."""
    length = int(LENGTH * rt60 * rate)
    time = np.arange(length) / rate
    freqs = np.fft.rfftfreq(length, 1 / rate)
    room = np.zeros((length, 2))
    dice = np.random.default_rng(SEED)
    for low, high, share in BANDS:
        noise = np.fft.rfft(dice.standard_normal((length, 2)), axis=0)
        noise *= _band(freqs, max(low, LOW_CUT), high)[:, None]
        room += np.fft.irfft(noise, length, axis=0) * np.exp(-np.log(1000) * time / (share * rt60))[:, None]
    room *= np.minimum(time / 0.004, 1.0)[:, None]  # the first reflections build up
    room[-512:] *= np.linspace(1, 0, 512)[:, None]
    room = np.concatenate([np.zeros((int(PRE_DELAY * rate), 2)), room])
    room /= np.sqrt(np.sum(room * room, axis=0))
    room.flags.writeable = False
    return room


def _band(freqs: NDArray[np.floating], low: float, high: float) -> NDArray[np.floating]:
    """Gain of a band with soft edges, half an octave wide on a logarithmic scale; no DC."""
    octaves = np.log2(np.maximum(freqs, 1.0))
    rise = np.clip((octaves - np.log2(low)) * 2 + 0.5, 0, 1)
    fall = np.clip((np.log2(high) - octaves) * 2 + 0.5, 0, 1)
    return rise * fall


class Room:
    """The response transformed for loops of one length; long ones go through it in overlapping pieces."""

    def __init__(self, samples: int, rate: int) -> None:
        from scipy.fft import next_fast_len, rfft

        room = response(rate)
        self.samples = samples
        self._block = min(int(next_fast_len(samples + len(room) - 1, real=True) or 0), BLOCK)
        self._piece = self._block - len(room) + 1
        self._room = np.asarray(rfft(room.astype(np.float32).T, self._block))

    def wet(self, dry: Samples) -> Samples:
        """A mono loop as the room answers it: shape (samples, 2), the tail added onto the start."""
        from scipy.fft import irfft, rfft

        wet = np.zeros((2, self.samples), dtype=np.float32)
        for start in range(0, self.samples, self._piece):
            piece = dry[start : start + self._piece]
            answer = irfft(self._room * np.asarray(rfft(piece, self._block)), self._block)
            add_round(wet, np.asarray(answer, dtype=np.float32), start)
        return wet.T
