"""Sensory roughness of neighbouring parts where they sound together on the first beats of bars.

Sethares 1993 (JASA 94(3) 1218-1228): two partials f1 < f2 with amplitudes a1, a2 give
min(a1, a2) * 5 * (exp(-3.51 s d) - exp(-5.75 s d)), d = f2 - f1 in Hz, s = 0.24 / (0.0207 f1 + 18.96) (the revision of
2005 takes the minimum of the amplitudes). Six harmonics, each 0.88 of the one before, as in the paper's figures.
The study reports it. No merit counts it: it is least where parts lie apart, and so tells no real texture from a broken
one (tests/outside/ranking).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import exp

from solver.heard import Heard
from solver.music.pitch import frequency

HARMONICS = 6
DECAY = 0.88


def dissonance(frequencies: Sequence[float], amplitudes: Sequence[float]) -> float:
    """Roughness of a set of partials (Hz, linear amplitudes), summed over all pairs."""
    partials = sorted(zip(frequencies, amplitudes, strict=True))
    total = 0.0
    for index, (low, loud) in enumerate(partials):
        scale = 0.24 / (0.0207 * low + 18.96)
        for high, other in partials[index + 1 :]:
            apart = scale * (high - low)
            total += min(loud, other) * 5 * (exp(-3.51 * apart) - exp(-5.75 * apart))
    return total


def _partials(pitch: int) -> tuple[list[float], list[float]]:
    ground = frequency(pitch)
    return [ground * number for number in range(1, HARMONICS + 1)], [DECAY**number for number in range(HARMONICS)]


@cache
def _between(low: int, high: int) -> float:
    """Roughness that two tones add to what each has of itself."""
    (f, a), (g, b) = _partials(low), _partials(high)
    return dissonance(f + g, a + b) - dissonance(f, a) - dissonance(g, b)


@cache
def roughness(low: int, high: int) -> int:
    """Roughness of two MIDI pitches in hundredths of that of a minor second on middle C."""
    return round(100 * _between(low, high) / _between(60, 61))


def between(upper: tuple[int, ...], lower: tuple[int, ...]) -> int:
    """Roughness between the notes of one part and those of another, in hundredths."""
    return sum(roughness(min(a, b), max(a, b)) for a in upper for b in lower)


def sentence(heard: Heard) -> str:
    """The roughest place."""
    rough = [(between(high.pitches, low.pitches), meeting.slot) for meeting, high, low in heard.meetings]
    if not rough:
        return "no two parts sound together on the first beat of a bar"
    worst, slot = max(rough, key=lambda pair: (pair[0], -pair[1]))
    return (
        f"on the first beats of bars the roughest pair is "
        f"{heard.plan.place(slot)}, {worst} % of a minor second on middle C"
    )
