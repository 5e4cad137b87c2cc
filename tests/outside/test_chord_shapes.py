"""The voicings of a guitar against an open dictionary of chord shapes.

The dictionary is guitar.json of the npm package @tombatossals/chords-db (MIT licence; 0.5.1 was used): some thousand
shapes of the qualities known here, each with its frets, fingers and MIDI numbers. Name the file in SENNIT_CHORDS_DB.
Its faulty shapes are filtered by theory: of 1058, 13 hold a pitch class that is not in their chord, and five would put
a finger behind one with a lower number.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from solver.music.chords import QUALITIES, Chord, parse_chord
from solver.music.fretboard import FINGERS, assign_strings, fingers, pitches_of, voicings
from solver.music.instruments import load_instruments

PATH = os.environ.get("SENNIT_CHORDS_DB", "")
GUITAR = load_instruments()["electric guitar"]
SUFFIXES = {"major": "", "minor": "m"}
# Usual qualities on all twelve roots; C#aug, Dmaj9, Adim and Bb6 have faulty shapes in the dictionary.
CHORDS = [
    "Bm",
    "G",
    "Am",
    "C",
    "F",
    "F#m7",
    "Ebmaj7",
    "E7",
    "Ab9",
    "C#aug",
    "Dmaj9",
    "Adim",
    "Bb6",
    "Bm7b5",
    "Gsus4",
    "Dsus2",
]

pytestmark = [
    pytest.mark.chorddict,
    pytest.mark.skipif(
        not PATH,
        reason="SENNIT_CHORDS_DB does not name guitar.json of npm's @tombatossals/chords-db (run `npm pack` on it)",
    ),
]


@dataclass(frozen=True)
class Shape:
    """One shape of the dictionary: frets and fingers from the lowest string, -1 for a string that is silent."""

    chord: Chord
    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    midi: tuple[int, ...]

    @property
    def places(self) -> tuple[tuple[int, int], ...]:
        """(string, fret) of the strings that sound, the lowest first."""
        return tuple((6 - index, fret) for index, fret in enumerate(self.frets) if fret >= 0)

    @property
    def is_sound(self) -> bool:
        """Whether theory has nothing against it: chord tones only, and no finger behind one with a lower number."""
        pressed = sorted((finger, fret) for finger, fret in zip(self.fingers, self.frets, strict=True) if fret > 0)
        rising = all(fret <= other for (_, fret), (_, other) in pairwise(pressed))
        return rising and {pitch % 12 for pitch in self.midi} <= self.chord.pcs

    @property
    def fits(self) -> bool:
        """Whether it keeps what we ask of a voicing besides: no pitch twice, frets within the span, on the neck."""
        pressed = [fret for fret in self.frets if fret > 0] or [1]
        wide = max(pressed) - min(pressed) >= GUITAR.chord_span
        return len(set(self.midi)) == len(self.midi) and not wide and max(pressed) <= GUITAR.frets


@cache
def dictionary() -> dict[str, tuple[Shape, ...]]:
    """The dictionary's shapes by chord symbol, of the qualities known here."""
    content = json.loads(Path(PATH).read_text(encoding="utf-8"))
    found: dict[str, tuple[Shape, ...]] = {}
    for entry in (entry for entries in content["chords"].values() for entry in entries):
        quality = SUFFIXES.get(entry["suffix"], entry["suffix"])
        if quality in QUALITIES:
            chord = parse_chord(entry["key"] + quality)
            found[chord.symbol] = tuple(_shape(chord, position) for position in entry["positions"])
    return found


def _shape(chord: Chord, position: dict) -> Shape:
    base = position["baseFret"] - 1
    frets = tuple(fret if fret <= 0 else fret + base for fret in position["frets"])
    return Shape(chord, frets, tuple(position["fingers"]), tuple(position["midi"]))


def every_shape() -> list[Shape]:
    """All shapes of the dictionary."""
    return [shape for shapes in dictionary().values() for shape in shapes]


def test_the_dictionary_is_the_one_we_know() -> None:
    content = json.loads(Path(PATH).read_text(encoding="utf-8"))
    assert content["tunings"]["standard"] == ["E2", "A2", "D3", "G3", "B3", "E4"]
    assert content["main"]["fretsOnChord"] == GUITAR.chord_span
    assert len(every_shape()) > 1000


def test_its_midi_numbers_are_ours() -> None:
    for shape in every_shape():
        assert pitches_of(shape.places, GUITAR) == shape.midi, (shape.chord.symbol, shape.frets)


def test_a_hand_can_hold_every_sound_shape() -> None:
    for shape in every_shape():
        if shape.is_sound:
            assert fingers(shape.places) <= FINGERS, (shape.chord.symbol, shape.frets)
            assert assign_strings(shape.midi, GUITAR) is not None, (shape.chord.symbol, shape.frets)


def test_few_shapes_are_filtered() -> None:
    shapes = every_shape()
    assert sum(not shape.is_sound for shape in shapes) < len(shapes) / 20
    assert sum(not shape.fits for shape in shapes) < len(shapes) / 20


@pytest.mark.parametrize("symbol", CHORDS)
def test_our_voicings_have_every_shape_and_chord_tones_only(symbol: str) -> None:
    chord = parse_chord(symbol)
    tones = tuple(sorted(chord.pcs))
    ours = voicings(GUITAR, tones, GUITAR.low, GUITAR.high, (3, 6), neighbouring=False)
    assert all(pitch % 12 in chord.pcs for voicing in ours for pitch in pitches_of(voicing, GUITAR))
    held = {frozenset(voicing) for voicing in ours}
    fitting = [shape for shape in dictionary()[chord.symbol] if shape.is_sound and shape.fits]
    assert fitting
    assert [shape.frets for shape in fitting if frozenset(shape.places) not in held] == []
