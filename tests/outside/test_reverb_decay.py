"""The room's decay time by backward integration: M. R. Schroeder 1965, New method of measuring reverberation time,
Journal of the Acoustical Society of America 37, 409-412; evaluated from -5 to -35 dB (ISO 3382, T30)."""

from __future__ import annotations

import numpy as np
import pytest

from solver.export.sound.reverb import response

RATE = 44_100


def rt60(answer: np.ndarray) -> float:
    """Seconds in which a response falls by 60 dB, from the slope of its backward integral between -5 and -35 dB."""
    left = np.cumsum(answer[::-1] ** 2)[::-1]
    level = 10 * np.log10(left / left[0])
    inside = np.flatnonzero((level <= -5) & (level >= -35))
    slope = np.polyfit(inside / RATE, level[inside], 1)[0]
    return -60 / float(slope)


def octave(answer: np.ndarray, centre: float) -> np.ndarray:
    """What an octave band lets through."""
    from scipy.signal import butter, sosfilt

    edges = [centre / np.sqrt(2), centre * np.sqrt(2)]
    return np.asarray(sosfilt(butter(4, edges, "bandpass", fs=RATE, output="sos"), answer))


@pytest.mark.parametrize("seconds", [0.4, 1.1, 2.5])
def test_the_measure_finds_a_known_decay(seconds: float) -> None:
    time = np.arange(int(1.5 * seconds * RATE)) / RATE
    noise = np.random.default_rng(3).standard_normal(len(time)) * 10 ** (-3 * time / seconds)
    assert rt60(noise) == pytest.approx(seconds, rel=0.03)


@pytest.mark.parametrize("asked", [0.6, 1.1, 2.0])
@pytest.mark.parametrize("side", [0, 1])
def test_the_room_decays_as_asked(asked: float, side: int) -> None:
    room = response(RATE, asked)[:, side]
    for centre in (500, 1000, 2000):
        assert rt60(octave(room, centre)) == pytest.approx(asked, rel=0.1), centre
    assert rt60(octave(room, 6000)) < 0.8 * asked
