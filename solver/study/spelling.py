"""Names for what was found: chords and notes spelled as the key has them."""

from __future__ import annotations

from solver.music.chords import Chord, parse_chord
from solver.music.pitch import FLAT_NAMES, SHARP_NAMES, note_name
from solver.music.scales import Key
from solver.study.chord_fit import Candidate


def root_name(pc: int, key: Key) -> str:
    """A pitch class as the key spells it; outside its scale with sharps or flats as its signature has them."""
    for note in key.scale:
        if note.pc == pc and abs(note.alter) < 2:
            return str(note)
    return (FLAT_NAMES if key.prefers_flats else SHARP_NAMES)[pc]


def chord_of(candidate: Candidate, key: Key, bass: int | None = None) -> Chord:
    """The chord spelled in the key; ``bass`` is a pitch class that a slash names."""
    symbol = root_name(candidate.root, key) + candidate.quality
    if bass is not None and bass != candidate.root:
        symbol += "/" + _tone_name(candidate, key, bass)
    return parse_chord(symbol)


def pitch_name(pitch: int, key: Key) -> str:
    """A pitch with its octave, black keys as the key's signature has them."""
    return note_name(pitch, key.prefers_flats)


def _tone_name(candidate: Candidate, key: Key, bass: int) -> str:
    """A bass that is a chord tone has the chord's spelling of it."""
    plain = parse_chord(root_name(candidate.root, key) + candidate.quality)
    for tone in plain.tones:
        if tone.pc == bass and abs(tone.alter) < 2:
            return str(tone)
    return root_name(bass, key)
