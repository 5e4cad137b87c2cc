"""Chord symbols in MusicXML: root, kind, bass, and the degrees that a kind lacks."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from solver.export.score.xml import add
from solver.music.chords import Chord
from solver.music.pitch import Spelled

# Quality (a key of solver.music.chords.QUALITIES): kind of MusicXML 4.0 and the degrees added to it.
KINDS: dict[str, tuple[str, tuple[int, ...]]] = {
    "": ("major", ()),
    "m": ("minor", ()),
    "dim": ("diminished", ()),
    "aug": ("augmented", ()),
    "sus2": ("suspended-second", ()),
    "sus4": ("suspended-fourth", ()),
    "6": ("major-sixth", ()),
    "m6": ("minor-sixth", ()),
    "7": ("dominant", ()),
    "maj7": ("major-seventh", ()),
    "m7": ("minor-seventh", ()),
    "mmaj7": ("major-minor", ()),
    "m7b5": ("half-diminished", ()),
    "dim7": ("diminished-seventh", ()),
    "7sus4": ("suspended-fourth", (7,)),
    "add9": ("major", (9,)),
    "madd9": ("minor", (9,)),
    "9": ("dominant-ninth", ()),
    "m9": ("minor-ninth", ()),
    "maj9": ("major-ninth", ()),
    "69": ("major-sixth", (9,)),
    "m69": ("minor-sixth", (9,)),
    "5": ("power", ()),
}


def add_chord_symbol(measure: Element, chord: Chord, offset: int) -> None:
    """Add a chord symbol to a measure, ``offset`` divisions after the place where it is written."""
    harmony = add(measure, "harmony", placement="above")
    _note(add(harmony, "root"), "root", chord.root)
    kind, degrees = KINDS[chord.quality]
    add(harmony, "kind", kind, text=chord.quality)
    if chord.slash:
        _note(add(harmony, "bass"), "bass", chord.bass)
    for value in degrees:
        degree = add(harmony, "degree", print_object="no")
        add(degree, "degree-value", value)
        add(degree, "degree-alter", 0)
        add(degree, "degree-type", "add")
    if offset:
        add(harmony, "offset", offset)
    add(harmony, "staff", 1)


def _note(parent: Element, name: str, note: Spelled) -> None:
    add(parent, f"{name}-step", note.letter)
    if note.alter:
        add(parent, f"{name}-alter", note.alter)
