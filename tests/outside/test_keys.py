"""Key signatures and scales against music21 10.5 and against the bytes of the MIDI file specification."""

from __future__ import annotations

import pytest
from music21 import key as music21_key
from music21 import scale as music21_scale

from solver.music.pitch import LETTERS, Spelled
from solver.music.scales import DEGREES, MOST_ACCIDENTALS, Key, parse_key

KEYS = [
    key
    for letter in LETTERS
    for alter in (-1, 0, 1)
    for mode in DEGREES
    if abs((key := Key(Spelled(letter, alter), mode)).signature) <= MOST_ACCIDENTALS
]

# Standard MIDI Files 1.0, key signature meta event FF 59 02 sf mi: sf as a signed byte, mi 1 for minor.
SIGNATURE_BYTES = {
    "C major": "00 00",
    "G major": "01 00",
    "D major": "02 00",
    "A major": "03 00",
    "E major": "04 00",
    "F major": "FF 00",
    "Bb major": "FE 00",
    "Eb major": "FD 00",
    "Cb major": "F9 00",
    "C# major": "07 00",
    "A minor": "00 01",
    "E minor": "01 01",
    "D minor": "FF 01",
    "F# minor": "03 01",
    "Eb minor": "FA 01",
    "A# minor": "07 01",
}


def theirs(note: Spelled) -> str:
    """A note as music21 writes it: its flats are "-"."""
    return str(note).replace("b", "-")


def test_every_mode_has_keys_to_test() -> None:
    assert {key.mode for key in KEYS} == set(DEGREES)
    assert len(KEYS) == 15 * len(DEGREES)  # signatures from seven flats to seven sharps


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.name)
def test_signatures_and_notes_as_music21_has_them(key: Key) -> None:
    tonic = theirs(key.tonic)
    if key.mode == "harmonic minor":
        notes = music21_scale.HarmonicMinorScale(tonic).pitches
    elif key.mode == "melodic minor":
        rising = music21_scale.Direction.ASCENDING
        notes = music21_scale.MelodicMinorScale(tonic).getPitches(f"{tonic}3", f"{tonic}4", direction=rising)
    else:
        notes = music21_key.Key(tonic, key.mode).pitches
    assert [theirs(note) for note in key.scale] == [note.name for note in notes][:7]
    assert key.signature == music21_key.Key(tonic, key.mode.split()[-1]).sharps


@pytest.mark.parametrize(("name", "published"), SIGNATURE_BYTES.items())
def test_signatures_as_the_bytes_of_the_specification(name: str, published: str) -> None:
    key = parse_key(name)
    assert f"{key.signature & 0xFF:02X} {int(key.mode == 'minor'):02X}" == published
