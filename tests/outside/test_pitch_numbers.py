"""Note numbers and frequencies."""

from __future__ import annotations

import pytest

from solver.music.pitch import frequency, parse_note

# f = 440 * 2^((n - 69) / 12); A4 = 440 Hz is ISO 16:1975 (from memory), the values recomputed from the formula.
FREQUENCIES = {
    21: 27.5,
    28: 41.2034,
    40: 82.4069,
    45: 110.0,
    60: 261.6256,
    64: 329.6276,
    69: 440.0,
    72: 523.2511,
    81: 880.0,
    88: 1318.5102,
    108: 4186.009,
}
# Huron 2001, Music Perception 19(1), rule D2 names the compass F2 to G5 centred near D4; the numbers go with E2 = 40,
# the lowest string of a guitar (music21 10.5, Guitar._stringPitches), and middle C = 60 (MIDI 1.0).
NUMBERS = {"E2": 40, "F2": 41, "C4": 60, "D4": 62, "A4": 69, "G5": 79, "E1": 28, "C8": 108, "A0": 21}


@pytest.mark.parametrize(("midi", "hertz"), FREQUENCIES.items())
def test_frequencies(midi: int, hertz: float) -> None:
    assert frequency(midi) == pytest.approx(hertz, abs=1e-4 if hertz < 4000 else 1e-3)


@pytest.mark.parametrize(("name", "midi"), NUMBERS.items())
def test_note_numbers(name: str, midi: int) -> None:
    assert parse_note(name) == midi
