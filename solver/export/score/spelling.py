"""Which letter a note is written with, and where it needs an accidental."""

from __future__ import annotations

from dataclasses import dataclass

from solver.brief.plan import Plan
from solver.music.pitch import FLAT_NAMES, NATURAL, SHARP_NAMES, Spelled, parse_spelled

OCTAVE = 12  # semitones that guitars and basses are written above where they sound
ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
SHARPS = "FCGDAEB"


@dataclass(frozen=True)
class WrittenPitch:
    """A pitch on paper. ``octave`` is that of the written note: 4 begins at middle C."""

    letter: str
    alter: int
    octave: int


def written_pitch(plan: Plan, slot: int, pitch: int) -> WrittenPitch:
    """A sounding pitch (MIDI) as guitars and basses write it, an octave higher, spelled by the chord at that slot.

    Chord tones have the chord's letters, other notes of the scale the key's, the rest what the key prefers.
    """
    spelled = spelling(plan, slot, pitch % 12)
    octave = (pitch + OCTAVE - NATURAL[spelled.letter] - spelled.alter) // 12 - 1
    return WrittenPitch(spelled.letter, spelled.alter, octave)


def spelling(plan: Plan, slot: int, pc: int) -> Spelled:
    """How a pitch class is spelled under the chord at a slot."""
    chord = plan.span_at(slot).chord
    for note in (*chord.tones, chord.bass, *plan.key.scale):
        if note.pc == pc and note.alter in ACCIDENTALS:
            return note
    return parse_spelled((FLAT_NAMES if plan.key.prefers_flats else SHARP_NAMES)[pc])


class Accidentals:
    """The accidentals of one staff: a bar's hold until its end, on their own line or space."""

    def __init__(self, signature: int) -> None:
        raised = SHARPS[: max(signature, 0)]
        lowered = SHARPS[::-1][: max(-signature, 0)]
        self._key = {letter: (letter in raised) - (letter in lowered) for letter in SHARPS}
        self._bar: dict[tuple[str, int], int] = {}

    def new_bar(self) -> None:
        """Forget what the last bar altered."""
        self._bar = {}

    def in_signature(self, letter: str) -> int:
        """How the key signature alters a letter."""
        return self._key[letter]

    def needed(self, pitch: WrittenPitch, *, tied: bool) -> str | None:
        """The accidental to print, in MusicXML's words, or None. A note tied from before needs none."""
        line = (pitch.letter, pitch.octave)
        if tied or self._bar.get(line, self._key[pitch.letter]) == pitch.alter:
            return None
        self._bar[line] = pitch.alter
        return ACCIDENTALS[pitch.alter]


def spell_open_string(pitch: int) -> tuple[str, int, int]:
    """Letter, alteration and octave of an open string (MIDI) as it sounds, by the names that strings usually have."""
    spelled = parse_spelled(FLAT_NAMES[pitch % 12] if pitch % 12 != 6 else SHARP_NAMES[6])
    return spelled.letter, spelled.alter, (pitch - spelled.alter) // 12 - 1
