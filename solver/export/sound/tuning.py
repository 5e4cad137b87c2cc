"""How far a note is from equal temperament at A = 440 Hz (ISO 16:1975): by the phase of its first partial.

A sample's pitch moves by itself while it sounds, by some cents up or down. What is measured, and put right, is the
mean over its first third of a second; for muted strings, which are heard for less, over the first eighth.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from solver.music.pitch import frequency

# Seconds from a note's start, and of the window that then moves on by its half.
SUSTAINED, MUTED = (0.068, 0.186), (0.034, 0.093)
FAINTEST = 10 ** (-70 / 20)  # of the first partial: below it there is no pitch to measure
MOST = 60.0  # cents; more is no matter of tuning


def needed(rate: int) -> int:
    """Samples of a note that are looked at."""
    start, window = SUSTAINED
    return math.ceil((start + 1.5 * window) * rate) + 2


def cents_off(
    wave: NDArray[np.floating], pitch: int, rate: int, times: tuple[float, float] = SUSTAINED
) -> float | None:
    """Cents by which a note that begins with the wave (mono) is too high; None where no pitch is heard, or another one.

    The first partial's phase turns from one window to the next by its frequency. A short way between them leaves no
    doubt how often it turned, a long one is exact; so the way grows, and each measure starts from the one before.
    """
    start, window = (round(seconds * rate) for seconds in times)
    taper = np.hanning(window)
    cycles, level = frequency(pitch) / rate, 0.0
    for hop in (window // 16, window // 2):
        pieces = [wave[at : at + window] * taper for at in (start, start + hop)]
        first, second = (_partial(piece, cycles) for piece in pieces)
        level = min(abs(first), abs(second))
        # Each piece counts from its own start: what the phase would turn by anyway is taken off.
        turn = float(np.angle(second * np.exp(-2j * np.pi * cycles * hop) / first)) if level else 0.0
        cycles += turn / (2 * math.pi * hop)
    cents = 1200 * math.log2(cycles * rate / frequency(pitch)) if cycles > 0 else math.inf
    return cents if level >= FAINTEST and abs(cents) <= MOST else None


def _partial(piece: NDArray[np.floating], cycles: float) -> complex:
    """Level and phase of a frequency (cycles a sample) in a piece."""
    return complex(np.mean(piece * np.exp(-2j * np.pi * cycles * np.arange(len(piece)))))
