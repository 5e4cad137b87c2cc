"""A guitar-like instrument on which a part can be played."""

from __future__ import annotations

from solver.music.fretboard import holds
from solver.music.instruments import Instrument
from solver.study.loop import LoopPart

# General MIDI programs (0 to 127) and the instrument they call for (General MIDI 1 sound set, guitars and basses).
BY_PROGRAM = {
    24: "nylon guitar",
    25: "acoustic guitar",
    26: "electric guitar",
    27: "electric guitar",
    28: "muted electric guitar",
    29: "electric guitar",
    30: "electric guitar",
    31: "electric guitar",
    **dict.fromkeys(range(32, 40), "bass guitar"),
}
# What to try where the program says nothing or its instrument does not reach: the usual ones first.
TRIED = (
    "electric guitar",
    "muted electric guitar",
    "acoustic guitar",
    "nylon guitar",
    "baritone guitar",
    "seven-string guitar",
    "bass guitar",
)
BASS_TOP = 43  # a line that stays at G2 or below is a bass guitar's


def instrument_of(part: LoopPart, instruments: dict[str, Instrument]) -> Instrument | None:
    """The first instrument that reaches all notes of the part and can hold each of its strokes; None where none can."""
    wanted = BY_PROGRAM.get(part.program) if part.program is not None else None
    if wanted is None and max(note.pitch for note in part.notes) <= BASS_TOP:
        wanted = "bass guitar"
    names = [*([wanted] if wanted else []), *TRIED, *instruments]
    for name in dict.fromkeys(names):
        if name in instruments and plays(part, instruments[name]):
            return instruments[name]
    return None


def plays(part: LoopPart, instrument: Instrument) -> bool:
    """Whether every note lies on the instrument and a hand can hold every stroke."""
    pitches = {note.pitch for note in part.notes}
    if min(pitches) < instrument.low or max(pitches) > instrument.high:
        return False
    strokes = {tuple(note.pitch for note in stroke) for stroke in part.strokes if len(stroke) > 1}
    return all(len(stroke) <= len(instrument.tuning) and holds(stroke, instrument) for stroke in strokes)
