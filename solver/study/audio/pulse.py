"""How alike a sound is to itself some time later: the autocorrelation of its onset strength, both by librosa.

Where it is high at a tempo's beat and at its bar, that tempo is felt rather than its half or its double.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.study.audio.signal import RATE, Signal

if TYPE_CHECKING:
    import numpy

HOP = 512  # samples from frame to frame
LONGEST = 15.0  # seconds: the longest bar that is looked for


@dataclass(frozen=True)
class Pulse:
    """``alike`` of shape (lags,), at most 1, a lag every ``HOP`` samples from 0 on."""

    alike: numpy.ndarray

    def after(self, seconds: numpy.ndarray) -> numpy.ndarray:
        """How alike the sound is to itself after so many seconds; 0 beyond what was looked at."""
        import numpy

        return numpy.interp(seconds, numpy.arange(len(self.alike)) * HOP / RATE, self.alike, right=0.0)


def pulse_of(signal: Signal) -> Pulse:
    """The pulse of a sound; all 0 where nothing ever begins."""
    import numpy
    from librosa import autocorrelate
    from librosa.onset import onset_strength

    strength = onset_strength(y=signal.samples, sr=RATE, hop_length=HOP)
    alike = autocorrelate(strength - strength.mean(), max_size=int(LONGEST * RATE / HOP))
    return Pulse(alike / alike[0] if alike[0] > 0 else numpy.zeros_like(alike))
