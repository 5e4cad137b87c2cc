"""Keys and scales: which notes a key has, how a chord alters them while it lasts, and what a step is.

Melodic minor is its rising form (sixth and seventh raised) in both directions. The signature of a mode is its
own (D dorian has none); harmonic and melodic minor carry the signature of natural minor.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solver.music.chords import Chord
from solver.music.faults import Fault, nearest, quoted
from solver.music.pitch import LETTERS, Spelled, parse_spelled, plain_accidentals

# Semitones above the tonic of the seven degrees (any textbook of harmony; tests/outside holds them against music21).
DEGREES: dict[str, tuple[int, ...]] = {
    "major": (0, 2, 4, 5, 7, 9, 11),
    "minor": (0, 2, 3, 5, 7, 8, 10),
    "harmonic minor": (0, 2, 3, 5, 7, 8, 11),
    "melodic minor": (0, 2, 3, 5, 7, 9, 11),
    "dorian": (0, 2, 3, 5, 7, 9, 10),
    "phrygian": (0, 1, 3, 5, 7, 8, 10),
    "lydian": (0, 2, 4, 6, 7, 9, 11),
    "mixolydian": (0, 2, 4, 5, 7, 9, 10),
    "locrian": (0, 1, 3, 5, 6, 8, 10),
}
OTHER_NAMES = {"natural minor": "minor", "aeolian": "minor", "ionian": "major"}
# Sharps (flats negative) that a mode has more than the major key on the same tonic.
_SIGNATURE_SHIFT = {
    "major": 0,
    "minor": -3,
    "harmonic minor": -3,
    "melodic minor": -3,
    "dorian": -2,
    "phrygian": -4,
    "lydian": 1,
    "mixolydian": -1,
    "locrian": -5,
}
MOST_ACCIDENTALS = 7
LARGEST_STEP = 3  # semitones: the augmented second of harmonic minor is a step


@dataclass(frozen=True)
class Key:
    """A tonic and a mode (one of ``DEGREES``)."""

    tonic: Spelled
    mode: str

    @cached_property
    def scale(self) -> tuple[Spelled, ...]:
        """The seven notes from the tonic up, each with a letter of its own."""
        return tuple(self.tonic.up(degree, semitones) for degree, semitones in enumerate(DEGREES[self.mode]))

    @cached_property
    def pcs(self) -> frozenset[int]:
        """The seven pitch classes."""
        return frozenset(note.pc for note in self.scale)

    @cached_property
    def signature(self) -> int:
        """Sharps of the key signature, flats as a negative number."""
        return _fifths(self.tonic) + _SIGNATURE_SHIFT[self.mode]

    @property
    def name(self) -> str:
        """The key in words: ``"B minor"``."""
        return f"{self.tonic} {self.mode}"

    @property
    def prefers_flats(self) -> bool:
        """Whether notes outside the scale are better named with flats."""
        return self.signature < 0


def parse_key(text: str) -> Key:
    """Read a key such as ``"B minor"`` or ``"F# dorian"``. Raises Fault (a ValueError) with what would be right."""
    words = plain_accidentals(text).split()
    if not words:
        raise Fault("the key is empty", 'write a note and a mode, like "B minor"')
    mode = " ".join(words[1:]).lower()
    mode = OTHER_NAMES.get(mode, mode)
    if not mode:
        raise Fault(f"{quoted(text)} does not name a mode", f'write a note and a mode, like "{_guess_key(words[0])}"')
    tonic = parse_spelled(words[0])
    if mode not in DEGREES:
        near = nearest(mode, [*DEGREES, *OTHER_NAMES])
        hint = f'did you mean "{tonic} {near}"?' if near else "use one of " + ", ".join(DEGREES)
        raise Fault(f"{quoted(mode)} is not a mode known here", hint)
    key = Key(tonic, mode)
    if abs(key.signature) > MOST_ACCIDENTALS:
        sign = "sharps" if key.signature > 0 else "flats"
        better = _respelled(key)
        raise Fault(
            f"{key.name} would need {abs(key.signature)} {sign}", f'write "{better.name}", which sounds the same'
        )
    return key


def scale_under_chord(key: Key, chord: Chord) -> frozenset[int]:
    """Pitch classes of the key as a chord alters them while it lasts.

    Each chord tone (a slash bass included) that is not in the scale replaces the scale's note of the same letter
    (E7 in A minor: G# replaces G), unless that note is itself a chord tone: then both stay.
    """
    tones = {tone.pc: tone for tone in (*chord.tones, chord.bass)}
    foreign = [tone for pc, tone in tones.items() if pc not in key.pcs]
    replaced = {tone.letter for tone in foreign}
    kept = {note.pc for note in key.scale if note.letter not in replaced or note.pc in chord.pcs}
    return frozenset(kept | {tone.pc for tone in foreign})


def is_step(a: int, b: int, scale: frozenset[int]) -> bool:
    """Whether b is the neighbour of a: another pitch at most 3 semitones off, none of the scale between them.

    a and b are MIDI numbers; ``scale`` holds pitch classes.
    """
    low, high = min(a, b), max(a, b)
    return low != high and high - low <= LARGEST_STEP and not any(p % 12 in scale for p in range(low + 1, high))


def _fifths(note: Spelled) -> int:
    """Sharps of the major key on a note: its place on the line of fifths, C = 0."""
    return "FCGDAEB".index(note.letter) - 1 + 7 * note.alter


def _respelled(key: Key) -> Key:
    candidates = [Key(Spelled(letter, alter), key.mode) for letter in LETTERS for alter in (-1, 0, 1)]
    same = [other for other in candidates if other.tonic.pc == key.tonic.pc]
    return min(same, key=lambda other: abs(other.signature))


def _guess_key(word: str) -> str:
    """What someone who wrote ``Bm`` or ``B`` as a key may have meant."""
    minor = word.endswith("m")
    note = word.removesuffix("m")
    try:
        tonic = parse_spelled(note[:1].upper() + note[1:])
    except Fault:
        return "B minor"
    return f"{tonic} {'minor' if minor else 'major'}"
