"""Tempo and bar lines, from when the notes begin.

A first tempo comes from the autocorrelation of the onset strength (librosa). It and simple multiples of it are then
held against the notes' beginnings: at the tempo that fits, they lie on its sixteenths, its eighths and its beats
(how far they do is the length of the mean vector of their phases: Mardia and Jupp 2000, Directional Statistics), and of
two that fit alike the more usual one is taken. The numbers were set by trial on renders of our own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.music.metre import Metre
from solver.study.audio.signal import RATE, Signal
from solver.study.audio.transcription import HeardNote

if TYPE_CHECKING:
    import numpy

HOP = 256
MULTIPLES = (1 / 3, 1 / 2, 2 / 3, 3 / 4, 1.0, 4 / 3, 3 / 2, 2.0, 3.0)
SLOWEST, FASTEST = 50.0, 200.0  # beats a minute
AROUND = 0.04  # share by which the first tempo may be off
STEP = 0.05  # beats a minute
USUAL, SPREAD, WEIGHT = 110.0, 0.5, 0.8  # beats a minute, octaves, and how much usualness counts
USUAL_DOTTED = 75.0
COARSER = 0.3  # how much lying on eighths, and on beats, counts against lying on sixteenths
NEAR_START = 0.06  # seconds by which the first sixteenth of a loop may miss the file's start
WHOLE = 0.03  # bars by which a loop may miss a whole number of them
AT_BEAT = 0.07  # seconds


@dataclass(frozen=True)
class Bars:
    """``beat``: seconds from beat to beat; ``first``: seconds of the first bar line; ``tempo``: quarters a minute.

    ``is_loop`` says that the file is a whole number of bars from its first sample to its last.
    """

    beat: float
    first: float
    tempo: float
    is_loop: bool


def bars_of(signal: Signal, notes: Sequence[HeardNote], metre: Metre) -> Bars:
    """The tempo and the first bar line, counted in a metre. There has to be a note."""
    import numpy

    times = numpy.array([note.start for note in notes])
    weights = numpy.array([note.confidence for note in notes])
    split = 6 if metre.is_compound else 4  # sixteenths in a counted beat
    beat = 60 / _beats_a_minute(_first_tempo(signal), times, weights, split, metre.is_compound)
    beats = len(metre.beats)
    sixteenth = beat / split
    offset = _phase(times, weights, sixteenth)
    bars = signal.seconds / (beat * beats)
    near_start = min(offset, sixteenth - offset) <= NEAR_START
    if near_start and round(bars) >= 1 and abs(bars - round(bars)) <= WHOLE:
        beat = signal.seconds / (round(bars) * beats)
        return Bars(beat, 0.0, _tempo(beat, metre), True)
    first = _first_line(notes, offset, sixteenth, beat, split, beats)
    return Bars(beat, first, _tempo(beat, metre), False)


def _tempo(beat: float, metre: Metre) -> float:
    quarters = float(metre.quarters_per_bar) / len(metre.beats)
    return round(60 / beat * quarters, 1)


def _first_tempo(signal: Signal) -> float:
    import librosa

    strength = librosa.onset.onset_strength(y=signal.samples, sr=RATE, hop_length=HOP)
    return float(librosa.feature.tempo(onset_envelope=strength, sr=RATE, hop_length=HOP)[0])


def _beats_a_minute(first: float, times: numpy.ndarray, weights: numpy.ndarray, split: int, is_compound: bool) -> float:
    import numpy

    usual = USUAL_DOTTED if is_compound else USUAL
    best = (-math.inf, first)
    for multiple in MULTIPLES:
        if not SLOWEST <= first * multiple <= FASTEST:
            continue
        near = numpy.arange(1 - AROUND, 1 + AROUND, STEP / (first * multiple)) * first * multiple
        fits = _fits(times, weights, near * split)
        tempo = float(near[int(fits.argmax())])
        eighths, beats = _fits(times, weights, numpy.array([tempo * split / 2, tempo]))
        usualness = math.exp(-0.5 * (math.log2(tempo / usual) / SPREAD) ** 2)
        mark = float(fits.max()) + COARSER * float(eighths + beats) + WEIGHT * usualness
        best = max(best, (mark, tempo))
    return best[1]


def _fits(times: numpy.ndarray, weights: numpy.ndarray, a_minute: numpy.ndarray) -> numpy.ndarray:
    """For each number of pulses a minute, from 0 to 1, how nearly all notes begin at the same phase of a pulse."""
    import numpy

    turns = numpy.outer(a_minute / 60, times)
    return abs(numpy.exp(2j * numpy.pi * turns) @ weights) / weights.sum()


def _phase(times: numpy.ndarray, weights: numpy.ndarray, period: float) -> float:
    """Seconds, below the period, by which the pulse that fits best lies after 0."""
    import numpy

    mean = (numpy.exp(2j * numpy.pi * times / period) * weights).sum()
    return float(numpy.angle(mean) / (2 * numpy.pi) % 1) * period


def _first_line(
    notes: Sequence[HeardNote], offset: float, sixteenth: float, beat: float, split: int, beats: int
) -> float:
    """The first bar line at or after the start: where low notes begin and the sound of the bars changes most."""
    marks = []
    for place in range(split * beats):
        line = offset + place * sixteenth
        marks.append((_line_mark(notes, line, beat * beats) + _line_mark(notes, line, beat) / 2, -place, line))
    return max(marks)[2]


def _line_mark(notes: Sequence[HeardNote], first: float, every: float) -> float:
    """How much speaks for a line at ``first`` and after each ``every`` seconds: low notes count more, long ones too."""
    mean = sum(note.pitch for note in notes) / len(notes)
    total = on = 0.0
    for note in notes:
        weight = note.confidence * min(note.end - note.start, every) * (2.0 if note.pitch < mean else 1.0)
        total += weight
        miss = (note.start - first + every / 2) % every - every / 2
        on += weight * (abs(miss) <= AT_BEAT)
    return on / total if total else 0.0
