"""Loudness and true peak against the published cases, through the path that sets the level of every preview."""

from __future__ import annotations

import numpy as np
import pytest

from solver.export.sound.loudness import integrated, loop_loudness, loop_true_peak

RATES = (44_100, 48_000)


def tone(rate: int, seconds: float, levels: tuple[float, ...], pitch: float = 1000.0) -> np.ndarray:
    """A sine in channels at levels in dBFS (peak)."""
    wave = np.sin(2 * np.pi * pitch * np.arange(round(seconds * rate)) / rate)
    return np.stack([wave * 10 ** (level / 20) for level in levels], axis=1)


# ITU-R BS.1770-4, annex 1: a 0 dBFS 997 Hz sine in the left, right or centre channel reads -3.01 LKFS.
@pytest.mark.parametrize("rate", RATES)
def test_the_anchor(rate: int) -> None:
    assert integrated(tone(rate, 5, (0, -np.inf), 997), rate) == pytest.approx(-3.01, abs=0.02)
    assert integrated(tone(rate, 5, (-np.inf, 0), 997), rate) == pytest.approx(-3.01, abs=0.02)
    assert integrated(tone(rate, 5, (0, 0), 997), rate) == pytest.approx(0.0, abs=0.02)


# EBU Tech 3341 (2016), table 1, cases 1 to 5: 1 kHz in both channels, peak level in dBFS and seconds; result +-0.1.
EBU_CASES = {
    1: (((-23, 20.0),), -23.0),
    2: (((-33, 20.0),), -33.0),
    3: (((-36, 10.0), (-23, 60.0), (-36, 10.0)), -23.0),
    4: (((-72, 10.0), (-36, 10.0), (-23, 60.0), (-36, 10.0), (-72, 10.0)), -23.0),
    5: (((-26, 20.0), (-20, 20.1), (-26, 20.0)), -23.0),
}


@pytest.mark.parametrize("case", EBU_CASES)
def test_ebu_cases_in_stereo(case: int) -> None:
    rate = 48_000
    steps, expected = EBU_CASES[case]
    audio = np.concatenate([tone(rate, seconds, (level, level)) for level, seconds in steps])
    assert integrated(audio, rate) == pytest.approx(expected, abs=0.1)
    assert loop_loudness(audio, rate) == pytest.approx(expected, abs=0.1)


# EBU Tech 3341 (2016), table 1, case 6: five channels, left, right, centre, and the two surrounds.
def test_the_ebu_case_in_five_channels() -> None:
    audio = tone(48_000, 20, (-28, -28, -24, -30, -30))
    assert integrated(audio, 48_000) == pytest.approx(-23.0, abs=0.1)


# EBU Tech 3341 (2016), cases 15 to 19: sines at a share of the rate, amplitude and phase in degrees; +0.2/-0.4 dBTP.
@pytest.mark.parametrize(
    ("share", "amplitude", "phase", "expected"),
    [
        (1 / 4, 0.50, 0.0, -6.0),
        (1 / 4, 0.50, 45.0, -6.0),
        (1 / 6, 0.50, 60.0, -6.0),
        (1 / 8, 0.50, 67.5, -6.0),
        (1 / 4, 1.41, 45.0, 3.0),
    ],
)
def test_true_peaks(share: float, amplitude: float, phase: float, expected: float) -> None:
    wave = amplitude * np.sin(2 * np.pi * share * np.arange(48_000) + np.radians(phase))
    found = loop_true_peak(np.stack([wave, wave], axis=1))
    assert -0.4 <= found - expected <= 0.2
