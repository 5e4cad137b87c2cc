"""Chroma and templates on chords that are made up."""

from __future__ import annotations

import numpy as np
import pytest

from solver.study.audio.chroma import chroma_of, cosines
from solver.study.audio.signal import RATE, Signal
from solver.study.chord_fit import Candidate, candidates

pytestmark = pytest.mark.audio


def chord(*pitches: int, seconds: float = 1.0) -> np.ndarray:
    """Tones with a few overtones."""
    times = np.arange(round(seconds * RATE)) / RATE
    tones = [440 * 2 ** ((pitch - 69) / 12) * harmonic for pitch in pitches for harmonic in (1, 2, 3)]
    return np.sum([np.sin(2 * np.pi * tone * times) / tone for tone in tones], axis=0).astype(np.float32)


def test_the_template_of_what_sounds_fits_best() -> None:
    samples = np.concatenate([chord(45, 52, 60, 64), chord(41, 53, 57, 60), np.zeros(RATE, dtype=np.float32)])
    chroma = chroma_of(Signal(samples / abs(samples).max()))
    triads = [Candidate(root, quality) for quality in ("", "m") for root in range(12)]
    for start, wanted in ((0.1, Candidate(9, "m")), (1.1, Candidate(5, ""))):
        fit = cosines(chroma.between(start, start + 0.8))
        assert max(triads, key=lambda triad: fit[candidates().index(triad)]) == wanted
        assert fit[candidates().index(wanted)] > 0.7
        assert fit.max() <= 1 + 1e-9


def test_a_seventh_has_the_template_of_its_triad() -> None:
    fit = cosines(np.eye(12)[4])
    assert fit[candidates().index(Candidate(0, "maj7"))] == fit[candidates().index(Candidate(0, ""))]
    assert fit[candidates().index(Candidate(9, "m7b5"))] == fit[candidates().index(Candidate(9, "dim"))]


def test_beyond_the_end_nothing_sounds() -> None:
    chroma = chroma_of(Signal(chord(57, 61, 64, seconds=2.0)))
    assert chroma.between(9, 10).tolist() == [0.0] * 12
    assert np.linalg.norm(chroma.between(0, 1)) == pytest.approx(1)
