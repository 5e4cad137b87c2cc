"""Tunings, necks and General MIDI programs of shared/instruments.toml."""

from __future__ import annotations

from dataclasses import replace

import pytest
from music21 import instrument as music21_instrument

from solver.music.fretboard import places
from solver.music.instruments import load_instruments, tuned
from solver.music.pitch import frequency, parse_note

INSTRUMENTS = load_instruments()
GUITAR = INSTRUMENTS["electric guitar"]
BASS = INSTRUMENTS["bass guitar"]
BARITONE = INSTRUMENTS["baritone guitar"]

# MIDI numbers from low to high. Guitar and bass: music21 10.5 (Guitar._stringPitches, ElectricBass). The others are
# from memory; drop D is common practice, no source.
TUNINGS = {
    ("electric guitar", "standard"): (40, 45, 50, 55, 59, 64),
    ("muted electric guitar", "standard"): (40, 45, 50, 55, 59, 64),
    ("acoustic guitar", "standard"): (40, 45, 50, 55, 59, 64),
    ("nylon guitar", "standard"): (40, 45, 50, 55, 59, 64),
    ("electric guitar", "drop D"): (38, 45, 50, 55, 59, 64),
    ("seven-string guitar", "standard"): (35, 40, 45, 50, 55, 59, 64),
    ("baritone guitar", "standard"): (35, 40, 45, 50, 54, 59),
    ("bass guitar", "standard"): (28, 33, 38, 43),
}
# Frequencies of the open strings in Hz, recomputed from A4 = 440 Hz.
OPEN_GUITAR = (82.41, 110.00, 146.83, 196.00, 246.94, 329.63)
OPEN_BASS = (41.20, 55.00, 73.42, 98.00)
# The top string at a fret: recomputed from the tunings above.
TOP_AT_FRET = {
    "electric guitar": {12: 76, 19: 83, 20: 84, 21: 85, 22: 86, 24: 88},
    "baritone guitar": {12: 71, 19: 78, 20: 79, 21: 80, 22: 81, 24: 83},
    "bass guitar": {12: 55, 19: 62, 20: 63, 21: 64, 22: 65, 24: 67},
}
# General MIDI Level 1 sound set, numbers as printed (1 to 128; the byte in a file is one less), as the constants of a
# public MIDI library have them.
GENERAL_MIDI = {
    "nylon guitar": (25, "Acoustic Guitar (nylon)"),
    "acoustic guitar": (26, "Acoustic Guitar (steel)"),
    "electric guitar": (28, "Electric Guitar (clean)"),
    "seven-string guitar": (28, "Electric Guitar (clean)"),
    "baritone guitar": (28, "Electric Guitar (clean)"),
    "muted electric guitar": (29, "Electric Guitar (muted)"),
    "bass guitar": (34, "Electric Bass (finger)"),
}
# Frets on the neck, from memory: classical guitars 19, steel-string 20, electric 21, 22 or 24.
FRETS = {"nylon guitar": {19}, "acoustic guitar": {20}, "electric guitar": {21, 22, 24}}


@pytest.mark.parametrize(("names", "strings"), TUNINGS.items(), ids=[" ".join(names) for names in TUNINGS])
def test_tunings(names: tuple[str, str], strings: tuple[int, ...]) -> None:
    assert tuned(INSTRUMENTS[names[0]], names[1]).tuning == strings


def test_tunings_as_music21_has_them() -> None:
    assert GUITAR.tuning == tuple(pitch.midi for pitch in music21_instrument.Guitar().stringPitches)
    assert BASS.tuning == tuple(pitch.midi for pitch in music21_instrument.ElectricBass().stringPitches)


def test_frequencies_of_the_open_strings() -> None:
    assert [round(frequency(pitch), 2) for pitch in GUITAR.tuning] == list(OPEN_GUITAR)
    assert [round(frequency(pitch), 2) for pitch in BASS.tuning] == list(OPEN_BASS)


@pytest.mark.parametrize("name", TOP_AT_FRET)
def test_the_top_string_at_each_fret(name: str) -> None:
    for fret, pitch in TOP_AT_FRET[name].items():
        assert replace(INSTRUMENTS[name], frets=fret).high == pitch


def test_the_neck_of_a_guitar_with_22_frets() -> None:
    """138 places, 47 pitches from 40 to 86; E4 has five places with 19 to 22 frets and six with 24 (recomputed)."""
    neck = replace(GUITAR, frets=22)
    assert sum(len(places(pitch, neck)) for pitch in range(128)) == 138
    assert [pitch for pitch in range(128) if places(pitch, neck)] == list(range(40, 87))
    assert [len(places(64, replace(GUITAR, frets=frets))) for frets in (19, 20, 21, 22, 24)] == [5, 5, 5, 5, 6]


def test_string_numbers_as_the_score_standard_has_them() -> None:
    """MusicXML 4.0, element string: 1 is the highest-pitched; fret: 0 is the open string."""
    assert places(40, GUITAR) == ((6, 0),)
    assert {(1, 0), (2, 5)} <= set(places(64, GUITAR))  # the fifth fret of string 2 is the open string 1


@pytest.mark.parametrize(("name", "frets"), FRETS.items())
def test_frets_on_the_neck(name: str, frets: set[int]) -> None:
    assert INSTRUMENTS[name].frets in frets


def test_general_midi_programs() -> None:
    assert {name: number - 1 for name, (number, _) in GENERAL_MIDI.items()} == {
        name: instrument.program for name, instrument in INSTRUMENTS.items() if name in GENERAL_MIDI
    }


def test_the_nylon_guitar_and_the_bass_have_the_bytes_that_music21_writes() -> None:
    """music21 10.5 counts programs from 0: Guitar 24 (General MIDI 25), ElectricBass 33 (34)."""
    assert INSTRUMENTS["nylon guitar"].program == music21_instrument.Guitar().midiProgram
    assert BASS.program == music21_instrument.ElectricBass().midiProgram


def test_a_baritone_guitar_is_a_guitar_a_fourth_down() -> None:
    assert [pitch + 5 for pitch in BARITONE.tuning] == list(GUITAR.tuning)
    assert BARITONE.low == parse_note("B1")
