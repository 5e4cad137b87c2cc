"""Every chord quality on every root, held against two tables that are not ours.

- music21 10.5 (harmony.ChordSymbol), spelling included, where it is right. Its flats are written "-", and the root
  and the bass have to be converted before it is asked: given "Bb7" it silently answers with B D# F# A.
- A table of semitones above the root for all qualities, the six-nine chords that music21 gets wrong among them
  ("C69" gives C A D). Its source: common practice, no source; wherever music21 knows the quality, both must agree.
"""

from __future__ import annotations

import pytest
from music21 import harmony

from solver.music.chords import QUALITIES, parse_chord

NATURALS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
ROOTS = [letter + sign for letter in NATURALS for sign in ("", "#", "b")]

# Common practice, no source: semitones above the root.
SEMITONES = {
    "": {0, 4, 7},
    "m": {0, 3, 7},
    "dim": {0, 3, 6},
    "aug": {0, 4, 8},
    "sus2": {0, 2, 7},
    "sus4": {0, 5, 7},
    "6": {0, 4, 7, 9},
    "m6": {0, 3, 7, 9},
    "7": {0, 4, 7, 10},
    "maj7": {0, 4, 7, 11},
    "m7": {0, 3, 7, 10},
    "mmaj7": {0, 3, 7, 11},
    "m7b5": {0, 3, 6, 10},
    "dim7": {0, 3, 6, 9},
    "7sus4": {0, 5, 7, 10},
    "add9": {0, 2, 4, 7},
    "madd9": {0, 2, 3, 7},
    "9": {0, 2, 4, 7, 10},
    "m9": {0, 2, 3, 7, 10},
    "maj9": {0, 2, 4, 7, 11},
    "69": {0, 2, 4, 7, 9},
    "m69": {0, 2, 3, 7, 9},
    "5": {0, 7},
}
# How music21 10.5 abbreviates what it has another name for; None where it is wrong or knows nothing.
IN_MUSIC21: dict[str, str | None] = {"mmaj7": "mM7", "maj9": "M9", "69": None, "m69": None}


def pitch_class(root: str) -> int:
    """Counted here from the letter and its sign, not by the code under test."""
    return (NATURALS[root[0]] + root.count("#") - root[1:].count("b")) % 12


def theirs(name: str) -> str:
    """A note name as music21 writes it."""
    return name[0] + name[1:].replace("b", "-")


def test_the_table_has_every_quality() -> None:
    assert set(SEMITONES) == set(QUALITIES)


@pytest.mark.parametrize("quality", QUALITIES)
def test_pitch_classes_on_every_root(quality: str) -> None:
    for root in ROOTS:
        expected = {(pitch_class(root) + above) % 12 for above in SEMITONES[quality]}
        assert parse_chord(root + quality).pcs == expected, root + quality


@pytest.mark.parametrize("quality", [quality for quality in QUALITIES if IN_MUSIC21.get(quality, quality) is not None])
def test_spelling_on_every_root_as_music21_has_it(quality: str) -> None:
    for root in ROOTS:
        answer = harmony.ChordSymbol(theirs(root) + str(IN_MUSIC21.get(quality, quality)))
        chord = parse_chord(root + quality)
        assert {theirs(str(tone)) for tone in chord.tones} == {pitch.name for pitch in answer.pitches}, root + quality
        assert answer.root().name == theirs(str(chord.root))
        assert {pitch.pitchClass for pitch in answer.pitches} == chord.pcs


@pytest.mark.parametrize("symbol", ["E7/G#", "Bbm7/Eb", "Am/G", "C/E", "F#m/E", "Dbmaj7/C", "G/A"])
def test_slash_basses_as_music21_has_them(symbol: str) -> None:
    chord = parse_chord(symbol)
    head, bass = symbol.split("/")
    root = head[:2] if head[1:2] in ("#", "b") else head[:1]
    answer = harmony.ChordSymbol(f"{theirs(root)}{head[len(root) :]}/{theirs(bass)}")
    assert answer.bass().name == theirs(str(chord.bass))
    assert {pitch.pitchClass for pitch in answer.pitches} == chord.pcs
