"""Measuring loops: round the seam, at any length. The published cases are in tests/outside."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import resample_poly

from solver.export.sound.loudness import loop_loudness, loop_true_peak

RATE = 44_100


def tone(seconds: float, level: float = 0.1, pitch: float = 1000.0) -> np.ndarray:
    wave = level * np.sin(2 * np.pi * pitch * np.arange(round(seconds * RATE)) / RATE)
    return np.stack([wave, wave], axis=1)


@pytest.mark.parametrize("seconds", [0.05, 0.3, 0.41, 1.0, 5.0])
def test_a_loop_is_as_loud_as_its_repetition(seconds: float) -> None:
    assert loop_loudness(tone(seconds), RATE) == pytest.approx(loop_loudness(tone(10.0), RATE), abs=0.05)


def test_twice_the_level_is_six_decibels_more() -> None:
    assert loop_loudness(tone(2, 0.2), RATE) - loop_loudness(tone(2, 0.1), RATE) == pytest.approx(6.02, abs=0.01)


def test_silence_has_no_level() -> None:
    assert loop_loudness(np.zeros((1000, 2)), RATE) == -np.inf
    assert loop_true_peak(np.zeros((1000, 2))) == -np.inf


@pytest.mark.parametrize("samples", [5, 40, 1000, 30_011])
def test_a_peak_is_found_wherever_it_lies_as_by_interpolating_everything(samples: int) -> None:
    dice = np.random.default_rng(samples)
    for _ in range(5):
        loop = dice.standard_normal((samples, 2)) * dice.uniform(0.01, 1, (samples, 1)) ** 4
        times = -(-300 // samples) + 2
        fine = np.abs(resample_poly(np.tile(loop, (times, 1)), 4, 1, axis=0))
        middle = fine[4 * 100 : -4 * 100].max()
        assert loop_true_peak(loop) == pytest.approx(20 * np.log10(max(middle, np.abs(loop).max())), abs=0.15)


def test_a_peak_across_the_seam_is_found() -> None:
    loop = np.zeros((400, 2))
    loop[-1] = loop[0] = 0.9  # two equal neighbours: the wave between them is higher
    assert loop_true_peak(loop) > 20 * np.log10(0.9) + 1
    assert loop_true_peak(np.roll(loop, 200, axis=0)) == pytest.approx(loop_true_peak(loop), abs=1e-6)
