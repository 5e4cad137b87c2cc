"""Model strings: level, silence before and after, colours that differ. Their tuning is tested in tests/outside."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from solver.export.sound.sounds import SOUNDS
from solver.export.sound.strings import LEAD, bench, block_for, hardness_of, pluck, turned

RATE = 44_100
PITCHES = {"bass": (28, 43), "low": (35, 59), "electric": (40, 76), "muted": (40, 76)}


def note(name: str, pitch: int, seconds: float = 1.2, hardness: float = 0.5) -> np.ndarray:
    samples = int(seconds * RATE)
    return pluck(bench(SOUNDS[name], block_for(samples), RATE), pitch, hardness)[:samples]


def centroid(wave: np.ndarray) -> float:
    """Spectral centroid in Hz."""
    spectrum = np.abs(np.fft.rfft(wave))
    return float(np.sum(np.fft.rfftfreq(len(wave), 1 / RATE) * spectrum) / np.sum(spectrum))


def fall(wave: np.ndarray) -> float:
    """Decibels that the level falls from 0.1 to 0.5 seconds."""
    early, late = (np.sqrt(np.mean(wave[int(t * RATE) : int((t + 0.05) * RATE)] ** 2)) for t in (0.1, 0.5))
    return float(20 * np.log10(early / late))


@pytest.mark.parametrize("name", SOUNDS)
def test_a_note_starts_from_silence_is_loud_enough_and_has_no_dc(name: str) -> None:
    for pitch in PITCHES.get(name, (40, 76)):
        wave = note(name, pitch)
        peak = np.abs(wave).max()
        assert 0.2 < peak < 1.0
        assert np.abs(wave[: LEAD // 2]).max() < 0.001 * peak
        assert np.abs(wave[: LEAD + int(0.012 * RATE)]).max() > 0.3 * peak  # it is plucked, not bowed
        assert abs(wave.mean()) < 0.001 * peak


@pytest.mark.parametrize("name", SOUNDS)
def test_a_note_fades_and_does_not_come_back(name: str) -> None:
    wave = note(name, 52, seconds=2.8)
    level = [np.sqrt(np.mean(piece**2)) for piece in np.array_split(wave[LEAD:], 14)]
    assert all(after < before for before, after in itertools.pairwise(level) if before > 1e-4 * level[0])
    assert level[-1] < 0.5 * level[0]


def test_the_block_does_not_change_the_note() -> None:
    short = pluck(bench(SOUNDS["acoustic"], 1 << 15, RATE), 52, 0.5)[: 1 << 14]
    long = pluck(bench(SOUNDS["acoustic"], 1 << 17, RATE), 52, 0.5)[: 1 << 14]
    assert np.abs(short - long).max() < 0.01 * np.abs(long).max()


def test_the_muted_sound_is_short_and_the_others_ring() -> None:
    falls = {name: fall(note(name, 52)) for name in SOUNDS}
    assert falls["muted"] > 35
    assert all(0 < falls[name] < 20 for name in SOUNDS if name != "muted")


def test_sounds_differ_in_brightness() -> None:
    found = {name: centroid(note(name, 45)) for name in SOUNDS}
    assert found["bass"] < found["nylon"] < found["electric"] < found["acoustic"]
    assert found["low"] < found["electric"]
    for one, other in itertools.combinations(SOUNDS, 2):
        wave, second = note(one, 45), note(other, 45)
        alike = float(np.vdot(wave, second) / np.sqrt(np.vdot(wave, wave) * np.vdot(second, second)))
        assert alike < 0.97, (one, other)


@pytest.mark.parametrize("name", SOUNDS)
def test_a_hard_stroke_is_brighter(name: str) -> None:
    assert centroid(note(name, 50, hardness=1.0)) > 1.03 * centroid(note(name, 50, hardness=0.0))


def test_hardness_grows_with_velocity_in_few_steps() -> None:
    steps = [hardness_of(velocity) for velocity in range(1, 128)]
    assert steps == sorted(steps)
    assert set(steps) == {0.0, 0.25, 0.5, 0.75, 1.0}


def test_the_same_note_is_always_the_same() -> None:
    assert np.array_equal(note("electric", 64), note("electric", 64))


def test_the_table_of_exponentials_is_exact_to_twelve_digits() -> None:
    turns = np.random.default_rng(1).uniform(0, 400, 20_000)
    assert np.abs(turned(turns) - np.exp(-2j * np.pi * turns)).max() < 3e-12
