"""How well each chord explains what is heard in a unit of time, in points of our own.

A quarter of sound is worth most where it is a chord tone, and costs where it is none; the more tones a chord has, the
less each is worth. The bass has a likelihood for each degree of the chord. Richer chords cost more beforehand, and
tones that never sound cost, so the fewest chords and tones that explain the notes win. The numbers are settings of
our own, found by trial, with no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import log
from typing import TYPE_CHECKING

from solver.music.chords import QUALITIES
from solver.study.evidence import Evidence

if TYPE_CHECKING:
    import numpy

# What a chord quality costs beforehand; qualities that are not listed are not concluded from notes.
COSTS = {
    "": 0.0,
    "m": 0.0,
    "7": 4.25,
    "m7": 4.25,
    "maj7": 4.25,
    "sus2": 4.5,
    "sus4": 4.5,
    "5": 4.0,
    "dim": 4.0,
    "aug": 5.5,
    "6": 7.0,
    "m6": 6.0,
    "add9": 7.0,
    "madd9": 7.0,
    "m7b5": 5.5,
    "dim7": 5.5,
    "7sus4": 7.0,
    "9": 7.5,
    "m9": 7.0,
    "maj9": 7.0,
    "mmaj7": 7.5,
}
# What a quarter of sound of each degree is worth, and one outside the chord.
WORTH = {
    "root": 0.95,
    "third": 0.9,
    "second": 0.8,
    "fourth": 0.8,
    "fifth": 0.8,
    "sixth": 0.75,
    "seventh": 0.75,
    "ninth": 0.7,
}
OUTSIDE = -1.5
SPREAD = 0.55  # the more tones a chord has the less each is worth, by this power of their number
WIDE_SPREAD = 0.9  # the same for five tones, which hold most of a scale and would explain almost anything
WIDE = 5
# How likely each degree is in the bass at the start of a unit.
IN_BASS = {
    "root": 0.55,
    "third": 0.15,
    "second": 0.05,
    "fourth": 0.06,
    "fifth": 0.15,
    "sixth": 0.05,
    "seventh": 0.05,
    "ninth": 0.02,
}
BASS_ELSE = 0.012  # a note outside the chord
FULL = 7.0  # quarters of sound at which a unit counts half as much as twice so many would
STRUCK = 4.0  # what a chord gains in a unit where it is struck with just its tones
BASS_WEIGHT = 0.85
# What a chord costs for each tone that is not heard at all in a whole chord span.
MISSING = {
    "root": 3.0,
    "third": 1.8,
    "second": 4.0,
    "fourth": 4.0,
    "fifth": 0.4,
    "sixth": 5.0,
    "seventh": 5.0,
    "ninth": 5.0,
}


@dataclass(frozen=True)
class Candidate:
    """A chord as pitch classes: its root and a key of ``QUALITIES``."""

    root: int
    quality: str

    @property
    def degrees(self) -> dict[int, str]:
        """The chord's pitch classes and what they are in it."""
        return {(self.root + semitones) % 12: name for _, semitones, name in QUALITIES[self.quality]}


@cache
def candidates() -> tuple[Candidate, ...]:
    """Every chord that may be concluded."""
    return tuple(Candidate(root, quality) for quality in COSTS for root in range(12))


def costs() -> numpy.ndarray:
    """What each candidate costs beforehand."""
    import numpy

    return numpy.array([COSTS[candidate.quality] for candidate in candidates()])


def roots() -> list[int]:
    """The root of each candidate."""
    return [candidate.root for candidate in candidates()]


def wide() -> list[int]:
    """The places of the candidates with five tones or more."""
    return [index for index, candidate in enumerate(candidates()) if len(candidate.degrees) >= WIDE]


def fits(evidence: Evidence) -> numpy.ndarray:
    """Fit of each candidate (columns) in each unit (rows)."""
    import numpy

    worth = numpy.full((len(candidates()), 12), OUTSIDE)
    bass = numpy.full((len(candidates()), 12), BASS_ELSE)
    for index, candidate in enumerate(candidates()):
        size = len(candidate.degrees)
        for pc, name in candidate.degrees.items():
            worth[index, pc] = WORTH[name] * (3 / size) ** (SPREAD if size < WIDE else WIDE_SPREAD)
            bass[index, pc] = IN_BASS[name]
    fit = _weights(evidence) @ worth.T + BASS_WEIGHT * evidence.bass @ (numpy.log(bass) - log(1 / 12)).T
    for unit, strokes in enumerate(evidence.struck):
        for classes in strokes:
            fit[unit, _exact(classes)] += STRUCK / len(strokes)
    return fit


@cache
def _exact(classes: frozenset[int]) -> list[int]:
    """The candidates that have just these tones."""
    return [index for index, candidate in enumerate(candidates()) if classes == frozenset(candidate.degrees)]


def missing_costs(heard: numpy.ndarray) -> numpy.ndarray:
    """What each candidate costs for its tones that do not sound, ``heard`` being the weights of a whole chord span."""
    import numpy

    costs_of = numpy.zeros(len(candidates()))
    silent = {pc for pc in range(12) if heard[pc] <= 0}
    for index, candidate in enumerate(candidates()):
        costs_of[index] = sum(MISSING[name] for pc, name in candidate.degrees.items() if pc in silent)
    return costs_of


def _weights(evidence: Evidence) -> numpy.ndarray:
    """Shared weights, scaled so that the fullness of the texture counts less and less."""
    totals = evidence.shared.sum(axis=1, keepdims=True)
    return evidence.shared * FULL / (totals + FULL)
