"""How strongly each pitch class sounds over time, by librosa, and how well the template of each chord fits it.

Chroma are those of a constant-Q transform (Brown 1991, JASA 89(1) 425-434); librosa estimates the tuning. A template
has the tones of a triad with the overtones that each of them brings, the h-th by 0.6 to the power of h - 1 (Gómez
2006, Tonal Description of Music Audio Signals, PhD thesis; from memory), and fits by the cosine between it and the
mean chroma of a stretch of time (Fujishima 1999, ICMC; from memory). A chord of four tones or more has the template of
its triad: of what it has beside that the notes are better witnesses. This, and how much chroma count beside the notes,
were chosen by how the study does on the renders that its figures are of, and on those of the example briefs.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import log2
from typing import TYPE_CHECKING

from solver.study.audio.signal import RATE, Signal
from solver.study.chord_fit import candidates

if TYPE_CHECKING:
    import numpy

HOP = 1024  # samples from frame to frame
OCTAVES = 6
LOWEST_HZ = 65.4064  # C2
TUNED_BY = 60  # seconds from the start by which the tuning is estimated: it takes much memory
OVERTONES, FADES = 6, 0.6
TRIADS = (frozenset({0, 4, 7}), frozenset({0, 3, 7}), frozenset({0, 3, 6}), frozenset({0, 4, 8}))
WEIGHT = 1.5  # points for each quarter of time, times the cosine


@dataclass(frozen=True)
class Chroma:
    """``energy`` of shape (12, frames), from C upwards, a frame every ``HOP`` samples."""

    energy: numpy.ndarray

    def between(self, start: float, end: float) -> numpy.ndarray:
        """The mean from one time to another, in seconds, with length 1; zeros where nothing sounds."""
        import numpy

        first, last = (max(0, round(time * RATE / HOP)) for time in (start, end))
        inside = self.energy[:, first : max(last, first + 1)]
        mean = inside.mean(axis=1) if inside.shape[1] else numpy.zeros(12)
        size = float(numpy.linalg.norm(mean))
        return mean / size if size > 0 else mean


def chroma_of(signal: Signal) -> Chroma:
    """The chroma of a sound."""
    from librosa import estimate_tuning
    from librosa.feature import chroma_cqt

    samples = signal.samples
    tuning = estimate_tuning(y=samples[: TUNED_BY * RATE], sr=RATE)
    return Chroma(
        chroma_cqt(y=samples, sr=RATE, tuning=tuning, hop_length=HOP, fmin=LOWEST_HZ, n_octaves=OCTAVES, norm=None)
    )


def cosines(chroma: numpy.ndarray) -> numpy.ndarray:
    """How well each candidate's template fits chroma of length 1, from 0 to 1."""
    return _templates() @ chroma


@cache
def _templates() -> numpy.ndarray:
    """The template of each candidate chord, each of length 1, of shape (candidates, 12)."""
    import numpy

    found = []
    for candidate in candidates():
        degrees = frozenset((pc - candidate.root) % 12 for pc in candidate.degrees)
        row = numpy.array(_template(candidate.root, next((triad for triad in TRIADS if triad <= degrees), degrees)))
        found.append(row / numpy.linalg.norm(row))
    return numpy.array(found)


def _template(root: int, degrees: frozenset[int]) -> list[float]:
    """How strongly each pitch class sounds in a chord, which has so many semitones above its root."""
    row = [0.0] * 12
    for degree in degrees:
        for harmonic in range(1, OVERTONES + 1):
            row[(root + degree + round(12 * log2(harmonic))) % 12] += FADES ** (harmonic - 1)
    return row
