"""A reference as it was read: tones in time, before anything is concluded from them.

Times are quarter notes from the first bar line, as fractions; a pickup lies before it, at negative times.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

MOST_NOTES = 20_000  # pitched notes of a file: a song of ten minutes in sixteen tracks has fewer


@dataclass(frozen=True, order=True)
class Tone:
    """One note: ``start`` and ``end`` in quarters, ``pitch`` a MIDI number as it sounds."""

    start: Fraction
    end: Fraction
    pitch: int


@dataclass(frozen=True)
class Voice:
    """The notes of one track or staff, in order. ``program`` is General MIDI (0 to 127), None where it is not given."""

    name: str
    tones: tuple[Tone, ...]
    program: int | None = None


@dataclass(frozen=True)
class Reference:
    """What a file holds. ``tempo`` (quarters a minute) and ``metre`` are None where the file does not give them.

    ``signature`` is the key signature in words, as the file states it; nothing is concluded from it. ``end`` is the
    time at which the file ends, in quarters. ``remarks`` say in whole sentences what had to be passed over or mended.
    """

    voices: tuple[Voice, ...]
    tempo: float | None
    metre: tuple[int, int] | None
    signature: str | None
    end: Fraction
    remarks: tuple[str, ...] = ()
