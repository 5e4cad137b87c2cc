"""Tempo and bar lines, from when the notes begin and from how the sound comes back.

At the right tempo the notes' beginnings lie on its sixteenths. How far they do is the length of the mean vector of
their phases (Mardia and Jupp 2000, Directional Statistics), taken over stretches of twenty seconds, so that a tempo
that drifts a little is found as well. Of the tempos that fit alike the one is taken after whose beat and bar the sound
is most like itself, and which is more usual. The numbers were set by trial on renders of our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.music.metre import Metre
from solver.study.audio.heard_notes import HeardNote
from solver.study.audio.pulse import Pulse, pulse_of
from solver.study.audio.signal import Signal

if TYPE_CHECKING:
    import numpy

SLOWEST, FASTEST = 50.0, 200.0  # quarters or dotted quarters a minute
STEP = 0.1  # of the same
STRETCH = 20.0  # seconds over which a tempo is looked for as if it did not change
NEAR = 0.15  # beats a minute around that, within which one tempo for the whole is looked for
FINE = 0.1  # of a sixteenth: how much two tempos next to each other differ at the end
USUAL, SPREAD, WEIGHT = 110.0, 0.5, 1.0  # quarters a minute, octaves, and how much usualness counts
USUAL_DOTTED = 75.0
LEVEL = 1.0  # how much likeness after a beat, and after a bar, counts against lying on sixteenths
CLEARLY = 0.1  # by which notes have to lie more nearly on thirds of a beat than on sixteenths
NEAR_START = 0.06  # seconds by which the first pulse of a loop may miss the file's start
WHOLE = 0.03  # bars by which a loop may miss a whole number of them
AT_BEAT = 0.07  # seconds


@dataclass(frozen=True)
class Bars:
    """``beat``: seconds from beat to beat; ``first``: seconds at which bar 1 begins, below 0 where the sound begins in
    the middle of it; ``tempo``: quarters a minute.

    ``is_loop`` says that the file is a whole number of bars from its first sample to its last; ``pulses`` is how many
    sixteenths a beat has, 3 where the notes lie on its thirds instead; ``confidence``, from 0 to 1, how nearly they do.
    """

    beat: float
    first: float
    tempo: float
    is_loop: bool
    pulses: int
    confidence: float


def bars_of(signal: Signal, notes: Sequence[HeardNote], metre: Metre) -> Bars:
    """The tempo and the first bar line, counted in a metre. There has to be a note."""
    import numpy

    times = numpy.array([note.start for note in notes])
    weights = numpy.array([note.confidence for note in notes])
    beats = len(metre.beats)
    split = round(4 * metre.quarters_per_bar / beats)  # sixteenths in a counted beat
    tempos = numpy.arange(SLOWEST, FASTEST, STEP) * (4 / split if split < 4 else 1)
    marks = _level_marks(pulse_of(signal), tempos, metre)
    beat = 60 / _beats_a_minute(times, weights, tempos, marks, split, signal.seconds)
    on, on_thirds = _fits(times, weights, numpy.array([split, 3]) * 60 / beat)
    if split == 4 and on_thirds > on + CLEARLY:
        split, on = 3, on_thirds
    pulse = beat / split
    offset = _phase(times, weights, pulse)
    nearly = round(float(on), 2)
    bars = signal.seconds / (beat * beats)
    near_start = min(offset, pulse - offset) <= NEAR_START
    if near_start and round(bars) >= 1 and abs(bars - round(bars)) <= WHOLE:
        beat = signal.seconds / (round(bars) * beats)
        return Bars(beat, 0.0, _tempo(beat, metre), True, split, nearly)
    first = _first_line(notes, offset, beat, split, beats)
    if notes[0].start < first - pulse / 2:
        first -= beat * beats
    return Bars(beat, first, _tempo(beat, metre), False, split, nearly)


def _tempo(beat: float, metre: Metre) -> float:
    quarters = float(metre.quarters_per_bar) / len(metre.beats)
    return round(60 / beat * quarters, 1)


def _level_marks(pulse: Pulse, tempos: numpy.ndarray, metre: Metre) -> numpy.ndarray:
    """For each tempo how usual it is, and how alike the sound is to itself after its beat and after its bar."""
    import numpy

    beats = len(metre.beats)
    usual = USUAL_DOTTED if metre.is_compound else USUAL * beats / float(metre.quarters_per_bar)
    marks = WEIGHT * numpy.exp(-0.5 * (numpy.log2(tempos / usual) / SPREAD) ** 2)
    return marks + LEVEL * (pulse.after(60 / tempos) + pulse.after(60 * beats / tempos))


def _beats_a_minute(
    times: numpy.ndarray,
    weights: numpy.ndarray,
    tempos: numpy.ndarray,
    marks: numpy.ndarray,
    split: int,
    seconds: float,
) -> float:
    """The tempo that has the most marks together with how nearly the notes lie on its sixteenths."""
    import numpy

    stretch = numpy.floor(times / STRETCH)
    total = marks.copy()
    for number in numpy.unique(stretch):
        inside = stretch == number
        at, weight = times[inside], weights[inside]
        total += weight.sum() / weights.sum() * _fits(at, weight, tempos * split)
    tempo = float(tempos[int(total.argmax())])
    near = numpy.arange(tempo - NEAR, tempo + NEAR, FINE * 60 / (split * max(seconds, STRETCH)))
    return float(near[int(_fits(times, weights, near * split).argmax())])


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


def _first_line(notes: Sequence[HeardNote], offset: float, beat: float, split: int, beats: int) -> float:
    """The first bar line at or after the start: where low notes begin and the sound of the bars changes most."""
    marks = []
    for place in range(split * beats):
        line = offset + place * beat / split
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
