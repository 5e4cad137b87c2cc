"""Tempo and bar lines from when notes begin."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from solver.music.metre import Metre
from solver.study.audio.bars import Bars, bars_of
from solver.study.audio.heard_notes import HeardNote
from solver.study.audio.signal import RATE, Signal

pytestmark = pytest.mark.audio

FOUR, WALTZ, SIX, SEVEN = Metre(4, 4, 16), Metre(3, 4, 12), Metre(6, 8, 12), Metre(7, 8, 14)
RHYTHM = (0, 3, 4, 8, 10, 12, 14)  # sixteenths of a bar of four quarters


def heard(tempo: float, bars: int, late: float = 0.0, spread: float = 0.008) -> tuple[HeardNote, ...]:
    """Bars of a rhythm with a low note on each first beat and half-bar, played a little unevenly."""
    random, sixteenth = Random(3), 15 / tempo
    notes = []
    for bar in range(bars):
        for place in RHYTHM:
            start = max(0.0, late + (16 * bar + place) * sixteenth + random.gauss(0, spread))
            pitch, length = (
                (40, 7 * sixteenth) if place == 0 else (45, 3 * sixteenth) if place == 8 else (70, sixteenth)
            )
            notes.append(HeardNote(start, start + length, pitch, 0.7))
    return tuple(sorted(notes))


def found(notes: tuple[HeardNote, ...], seconds: float, metre: Metre = FOUR) -> Bars:
    """The bars of a sound with a short tone for each note, low ones louder."""
    samples = np.zeros(round(seconds * RATE), dtype=np.float32)
    times = np.arange(RATE // 10) / RATE
    for note in notes:
        tone = 20 / note.pitch * np.exp(-40 * times) * np.sin(2 * np.pi * 440 * 2 ** ((note.pitch - 69) / 12) * times)
        place = samples[round(note.start * RATE) :][: len(tone)]
        place += tone[: len(place)]
    return bars_of(Signal(samples), notes, metre)


@pytest.mark.parametrize("tempo", [80, 90, 111.5, 138, 160])
def test_a_loop_that_fills_its_file(tempo: float) -> None:
    bars = found(heard(tempo, 8), 8 * 240 / tempo)
    assert bars.is_loop
    assert bars.first == 0
    assert bars.tempo == pytest.approx(tempo, abs=0.1)


@pytest.mark.parametrize("late", [0.4, 0.9, 1.7])
def test_a_recording_that_begins_before_its_first_bar(late: float) -> None:
    bars = found(heard(126, 16, late), 16 * 240 / 126 + late + 1.1)
    assert not bars.is_loop
    assert bars.tempo == pytest.approx(126, abs=0.3)
    assert bars.first % (240 / 126) == pytest.approx(late % (240 / 126), abs=0.03)


def test_a_long_one_stays_in_step_to_its_end() -> None:
    bars = found(heard(103.37, 60), 60 * 240 / 103.37 + 0.9)
    assert bars.beat == pytest.approx(60 / 103.37, rel=1e-4)


def test_other_metres_count_otherwise() -> None:
    """The same sound: three quarters in a bar, or two dotted ones."""
    seconds = 12 * 180 / 120
    notes = tuple(
        HeardNote(0.25 * eighth, 0.25 * eighth + 0.2, 40 if eighth % 6 == 0 else 70, 0.7) for eighth in range(72)
    )
    waltz, six = found(notes, seconds, WALTZ), found(notes, seconds, SIX)
    assert waltz.is_loop
    assert six.is_loop
    assert (waltz.tempo, six.tempo) == (120, 120)
    assert six.beat == pytest.approx(0.75)


def test_quick_beats_of_seven_eighths() -> None:
    eighth = 30 / 132
    notes = tuple(
        HeardNote(eighth * at, eighth * at + 0.2, 40 if at % 7 == 0 else 70, 0.7)
        for at in range(8 * 7)
        if at % 7 in (0, 2, 4, 5)
    )
    bars = found(notes, 8 * 7 * eighth, SEVEN)
    assert (bars.is_loop, bars.tempo) == (True, 132)


def test_triplets() -> None:
    third = 60 / 116 / 3
    notes = tuple(
        HeardNote(third * at, third * at + 0.2, 40 if at % 12 == 0 else 70, 0.7)
        for at in range(4 * 12)
        if at % 12 in (0, 2, 3, 4, 6, 8, 9, 11)
    )
    bars = found(notes, 4 * 12 * third)
    assert (bars.is_loop, bars.tempo, bars.pulses) == (True, 116, 3)


def test_notes_off_any_beat_are_less_sure() -> None:
    steady, loose = (found(heard(111.5, 8, spread=spread), 8 * 240 / 111.5) for spread in (0.002, 0.03))
    assert loose.confidence < 0.7 < 0.95 < steady.confidence <= 1
