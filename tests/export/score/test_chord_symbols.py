"""Chord symbols: every quality on every root reads back in music21 as the chord's own pitch classes."""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import Element, tostring

import pytest

from solver.export.score.chord_symbols import KINDS, add_chord_symbol
from solver.music.chords import QUALITIES, parse_chord

ROOTS = ("C", "C#", "Db", "Eb", "F#", "Ab", "Bb")
# An added seventh is a minor one where its alteration is 0 (MusicXML 4.0, degree-alter: relative to a dominant chord);
# music21 10.5 reads a major one.
ADDS_SEVENTH = {"7sus4"}


def test_every_quality_has_a_kind() -> None:
    assert KINDS.keys() == QUALITIES.keys()


@pytest.mark.parametrize("quality", QUALITIES)
def test_music21_reads_the_chord(quality: str) -> None:
    from music21.musicxml.xmlToM21 import MeasureParser

    for root in ROOTS:
        for slash in ("", "/D"):
            chord = parse_chord(f"{root}{quality}{slash}")
            measure = Element("measure")
            add_chord_symbol(measure, chord, 0)
            found: Any = MeasureParser().xmlToChordSymbol(_their_element(measure[0]))
            pcs = {pitch.pitchClass for pitch in found.pitches}
            if quality in ADDS_SEVENTH:
                pcs = pcs - {(chord.root.pc + 11) % 12} | {(chord.root.pc + 10) % 12, chord.bass.pc}
            assert pcs == set(chord.pcs), chord.symbol
            assert found.bass().pitchClass == chord.bass.pc


def _their_element(element: Element) -> Any:
    from xml.etree.ElementTree import fromstring

    return fromstring(tostring(element))
