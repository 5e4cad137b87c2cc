"""A plain beat to judge a loop against: kick, snare or clap, hat, made of sines and seeded noise.

Which drum falls where is common practice, no source. It is no part of an arrangement and is never exported unasked.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from solver.brief.plan import Plan
from solver.music.metre import Metre

STRAIGHT, HALF = "straight", "half-time"
SNARE, CLAP = "snare", "clap"
SEED = 20
LEVELS = {"kick": 0.62, "back": 0.4, "hat": 0.13}
LONG, SHORT = 0.35, 0.06  # seconds that a drum and a hat sound

Samples = NDArray[np.float64]


def pattern(metre: Metre, style: str) -> dict[str, list[float]]:
    """Where in a bar each drum falls, in quarter notes from its start."""
    length = float(metre.quarters_per_bar)
    beats = [slot * length / metre.grid for slot in sorted(metre.beats)]
    half = len(beats) // 2
    if style == HALF:
        kick, back = beats[:1], beats[half : half + 1]
    else:
        kick, back = beats[::2], beats[1::2]
        if len(beats) % 2:  # three, five or seven: the last beat leads back
            kick, back = [*beats[:-1:2]], [*beats[1:-1:2], beats[-1]]
            kick = [beat for beat in kick if beat not in back]
    return {"kick": kick, "back": back, "hat": [at / 2 for at in range(int(2 * length))]}


def beat_wav(plan: Plan, tempo: float | None, style: str, hit: str) -> bytes:
    """A WAV file of exactly the loop's length, what rings past its end added onto its start."""
    from solver.export.sound.events import loop_samples
    from solver.export.sound.rendering import RATE
    from solver.export.sound.wave import wav_bytes

    plan = replace(plan, tempo=tempo) if tempo else plan
    samples = loop_samples(plan, RATE)
    line = np.zeros(samples)
    quarter = samples / float(plan.bars * plan.metre.quarters_per_bar)
    bar = float(plan.metre.quarters_per_bar)
    for name, places in pattern(plan.metre, style).items():
        wave = _drum(hit if name == "back" else name, RATE) * LEVELS[name]
        for number in range(plan.bars):
            for place in places:
                at = (round((number * bar + place) * quarter) + np.arange(len(wave))) % samples
                np.add.at(line, at, wave)
    return wav_bytes(np.stack([line, line], axis=1), RATE)


@cache
def _drum(name: str, rate: int) -> Samples:
    """One stroke, at most 1 in height."""
    dice = np.random.default_rng(SEED)
    time = np.arange(int(rate * (SHORT if name == "hat" else LONG))) / rate
    noise = dice.standard_normal(len(time))
    bright = np.diff(noise, prepend=0.0)
    if name == "kick":
        pitch = 48 + 90 * np.exp(-time / 0.03)  # Hz
        wave = np.sin(2 * np.pi * np.cumsum(pitch) / rate) * np.exp(-time / 0.11)
    elif name == SNARE:
        wave = 0.5 * np.sin(2 * np.pi * 185 * time) * np.exp(-time / 0.06) + 0.5 * bright * np.exp(-time / 0.09)
    elif name == CLAP:
        bursts = sum(np.exp(-np.maximum(time - at, 0) / 0.008) * (time >= at) for at in (0.0, 0.011, 0.022))
        wave = bright * (bursts + 0.7 * np.exp(-time / 0.07) * (time >= 0.03))
    else:
        wave = np.diff(bright, prepend=0.0) * np.exp(-time / 0.012)
    fade = np.minimum(1.0, (time[-1] - time) / 0.005)
    return wave * fade / np.abs(wave).max()
