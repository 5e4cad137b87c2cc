"""Notes: spelled pitch classes, note names, MIDI numbers and frequencies.

Pitches are MIDI numbers: 60 is middle C and is called C4 here, 69 is A4 with 440 Hz (ISO 16:1975). Pitch
classes run from 0 (C) to 11 (B). Accidentals are written ``#``, ``##``, ``b``, ``bb``; the signs ♯ and ♭ are read too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from solver.music.faults import Fault, quoted

LETTERS = "CDEFGAB"
NATURAL = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
FLAT_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
LOWEST, HIGHEST = 0, 127
_SPELLED = re.compile(r"([A-G])(##|bb|#|b)?")
_NOTE = re.compile(r"([A-G](?:##|bb|#|b)?)(-?[0-9]{1,2})")


@dataclass(frozen=True, order=True)
class Spelled:
    """A pitch class as it is written: a letter and its accidentals (-1 flat, 1 sharp; chords may need up to 3)."""

    letter: str
    alter: int = 0

    def __post_init__(self) -> None:
        if self.letter not in NATURAL or not -3 <= self.alter <= 3:
            raise Fault(
                f'no note has the letter "{self.letter}" altered by {self.alter}', "use A to G, at most 3 up or down"
            )

    @property
    def pc(self) -> int:
        """Pitch class, 0 to 11."""
        return (NATURAL[self.letter] + self.alter) % 12

    def __str__(self) -> str:
        return self.letter + ("#" * self.alter if self.alter > 0 else "b" * -self.alter)

    def up(self, letters: int, semitones: int) -> Spelled:
        """The note that many letters and semitones higher: C up 2 letters and 3 semitones is Eb."""
        letter = LETTERS[(LETTERS.index(self.letter) + letters) % 7]
        alter = (self.pc + semitones - NATURAL[letter] + 6) % 12 - 6
        return Spelled(letter, alter)


def plain_accidentals(text: str) -> str:
    """The text with the printed signs ♯ and ♭ written as # and b."""
    return text.replace("♯", "#").replace("♭", "b")


def parse_spelled(text: str) -> Spelled:
    """Read a note name without octave: ``"F#"``, ``"Bb"``, ``"C"``. Raises Fault (a ValueError)."""
    match = _SPELLED.fullmatch(plain_accidentals(text.strip()))
    if match is None:
        raise Fault(f"{quoted(text)} is not a note name", _spelled_hint(text))
    letter, sign = match[1], match[2] or ""
    return Spelled(letter, len(sign) if sign.startswith("#") else -len(sign))


def parse_note(text: str) -> int:
    """Read a note name with its octave as a MIDI number: ``"E3"`` is 52, ``"C4"`` is 60. Raises Fault."""
    match = _NOTE.fullmatch(plain_accidentals(text.strip()))
    if match is None:
        raise Fault(
            f"{quoted(text)} is not a note with its octave",
            "write a letter A to G, # or b, and an octave, like E3 or Bb2",
        )
    spelled, octave = parse_spelled(match[1]), int(match[2])
    midi = 12 * (octave + 1) + NATURAL[spelled.letter] + spelled.alter
    if not LOWEST <= midi <= HIGHEST:
        raise Fault(f"{quoted(text)} lies outside the MIDI notes", "use C-1 to G9 (C4 is middle C)")
    return midi


def note_name(midi: int, flats: bool = False) -> str:
    """The name of a MIDI number: 52 is ``"E3"``; black keys as sharps, or as flats. Raises Fault outside 0 to 127."""
    if not LOWEST <= midi <= HIGHEST:
        raise Fault(f"{midi} is not a MIDI note number", "use 0 to 127")
    names = FLAT_NAMES if flats else SHARP_NAMES
    return f"{names[midi % 12]}{midi // 12 - 1}"


def frequency(midi: float) -> float:
    """Frequency in Hz in equal temperament, A4 (69) = 440 Hz (ISO 16:1975)."""
    return 440.0 * 2.0 ** ((midi - 69) / 12)


def _spelled_hint(text: str) -> str:
    first = text.strip()[:1]
    if first and first in "abcdefg":
        return f"write the letter as a capital: {quoted(first.upper() + text.strip()[1:])}"
    return "write a letter A to G, with # or b where needed, like F# or Bb"
