"""The model strings' tuning against equal temperament at A = 440 Hz (ISO 16:1975), over every instrument's range."""

from __future__ import annotations

import numpy as np
import pytest

from solver.arrangement import Arrangement, Note
from solver.export.sound.rendering import Studio
from solver.export.sound.sounds import SOUNDS
from solver.export.sound.strings import bench, pluck
from solver.music.instruments import load_instruments
from tests.export.sample_plans import sample_plan

RATE = 44_100
MOST_CENTS = 3.0
INSTRUMENTS = load_instruments()


def equal_temperament(pitch: int) -> float:
    """Hz: twelve equal steps an octave, 69 is 440 Hz."""
    return 440.0 * 2.0 ** ((pitch - 69) / 12)


def cents_off(wave: np.ndarray, pitch: int, start: int, window: int) -> float:
    """How far the first partial of a wave lies from a pitch, by how its phase moves from one window to the next."""
    wanted = equal_temperament(pitch)
    hop = window // 2
    turn = []
    for at in (start, start + hop):
        time = np.arange(at, at + window)
        turn.append(
            np.angle(np.sum(wave[at : at + window] * np.hanning(window) * np.exp(-2j * np.pi * wanted / RATE * time)))
        )
    moved = (turn[1] - turn[0] + np.pi) % (2 * np.pi) - np.pi
    return 1200 * float(np.log2(1 + moved * RATE / (2 * np.pi * hop * wanted)))


def test_the_measure_finds_a_known_error() -> None:
    for cents in (-20.0, -3.0, 0.0, 0.5, 3.0):
        time = np.arange(30_000) / RATE
        wave = np.sin(2 * np.pi * equal_temperament(40) * 2 ** (cents / 1200) * time) * np.exp(-2 * time)
        assert cents_off(wave, 40, 2_000, 8_192) == pytest.approx(cents, abs=0.05)


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_every_third_fret_of_every_instrument_is_in_tune(name: str) -> None:
    instrument = INSTRUMENTS[name]
    table = bench(SOUNDS[instrument.sound], 1 << 15, RATE)
    for pitch in sorted({*range(instrument.low, instrument.high + 1, 3), instrument.high}):
        # Muted strings are heard for a fifth of a second, so theirs is measured early and in a short window.
        window = 4_096 if instrument.sound == "muted" else 8_192
        found = cents_off(pluck(table, pitch, 0.5), pitch, 1_500, window)
        assert abs(found) < MOST_CENTS, (pitch, found)


@pytest.mark.parametrize("pitch", [40, 47, 55, 64, 71])
def test_a_note_of_a_whole_rendering_is_in_tune(pitch: int) -> None:
    plan = sample_plan("ferry-lights")
    audio = Studio(plan, RATE).render(Arrangement((Note("lead", 32, 16, pitch),)))
    start = round(32 * len(audio.mix) / plan.slots)
    assert abs(cents_off(audio.mix.mean(axis=1), pitch, start + 3_000, 16_384)) < MOST_CENTS
