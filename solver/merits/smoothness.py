"""Smooth together: little sensory roughness where neighbouring parts sound together on the first beats of bars.

Sethares 1993 (JASA 94(3) 1218-1228): two partials f1 < f2 with amplitudes a1, a2 give
min(a1, a2) * 5 * (exp(-3.51 s d) - exp(-5.75 s d)), d = f2 - f1 in Hz, s = 0.24 / (0.0207 f1 + 18.96) (the revision of
2005 takes the minimum of the amplitudes). Six harmonics, each 0.88 of the one before, as in the paper's figures.
Unit: tenths of the roughness of a minor second on middle C beyond three of them, as a loss: what lies below is the
colour of low thirds and fifths, and no fault.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import exp
from typing import TYPE_CHECKING

from solver.heard import Heard
from solver.merits.meetings import model_meetings
from solver.merits.merit import Merit, Reward
from solver.music.pitch import frequency

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "smooth together"
HARMONICS = 6
FREE = 30  # hundredths
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


def loss(upper: tuple[int, ...], lower: tuple[int, ...]) -> int:
    """Tenths beyond what is free."""
    return max(0, between(upper, lower) - FREE) // 10


def measure(heard: Heard) -> int:
    """The loss over all meetings, negative."""
    return -sum(loss(high.pitches, low.pitches) for _, high, low in heard.meetings)


def reward(model: PitchModel) -> Reward:
    """A cost on each pair of states that meet."""
    total = Reward()
    for meeting in model_meetings(model):
        for high, low, literal in model.pair(meeting.upper, meeting.high, meeting.lower, meeting.low):
            total.add(-loss(high.pitches, low.pitches), literal)
    return total


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


MERIT = Merit(NAME, lambda plan: len(plan.parts) > 1, measure, lambda heard: 0, sentence, reward)
