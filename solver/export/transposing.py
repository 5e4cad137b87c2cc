"""An arrangement in another key: the same intervals, each part still on its own instrument."""

from __future__ import annotations

from dataclasses import replace

from solver.arrangement import Arrangement, Note
from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.export.fingering import fingering
from solver.music.chords import Chord, parse_chord
from solver.music.pitch import FLAT_NAMES, LETTERS, SHARP_NAMES, Spelled, note_name, parse_spelled
from solver.music.scales import Key, scale_under_chord
from solver.ornaments import added_pitches, decorated

OCTAVE = 12


class OutOfReach(Exception):
    """Why an arrangement cannot be played in a key, in one line."""


def transposed(plan: Plan, arrangement: Arrangement, key: Key) -> tuple[Plan, Arrangement]:
    """Plan and arrangement in a key of the same mode, by the nearest way; by the other way where only that one fits.

    Raises OutOfReach where a part would leave its instrument, or holds what no hand holds there.
    """
    if key.mode != plan.key.mode:
        raise OutOfReach(f"{key.name} is not {plan.key.mode}, as the brief is; write {key.tonic} {plan.key.mode}")
    up = (key.tonic.pc - plan.key.tonic.pc) % OCTAVE
    ways = sorted((up, up - OCTAVE), key=abs)
    for shift in ways:
        if not _fault(plan, arrangement, shift):
            return _moved(plan, key, shift), _shifted(arrangement, shift)
    raise OutOfReach(f"not to be played in {key.name}: {_fault(plan, arrangement, ways[0])}")


def _fault(plan: Plan, arrangement: Arrangement, shift: int) -> str:
    """What is in the way of moving every note by so many semitones; empty where nothing is."""
    moved = _shifted(arrangement, shift)
    for part in plan.parts:
        before, after = (fingering(plan, part, each.part(part.name)).unplayable for each in (arrangement, moved))
        known = {(note.onset, note.pitch + shift) for note in before}
        for note in (*after, *_added_off_the_neck(plan, part, arrangement, shift)):
            if (note.onset, note.pitch) not in known:
                return _reason(plan, part, note, shift)
    return ""


def _added_off_the_neck(plan: Plan, part: PartPlan, arrangement: Arrangement, shift: int) -> list[Note]:
    """What ornaments add, moved, where the instrument has no such note."""
    return [
        replace(note, pitch=pitch + shift)
        for note, pieces in decorated(plan, part, arrangement.part(part.name))
        for pitch in added_pitches(pieces)
        if not part.instrument.low <= pitch + shift <= part.instrument.high
    ]


def _reason(plan: Plan, part: PartPlan, note: Note, shift: int) -> str:
    instrument, flats = part.instrument, plan.key.prefers_flats
    where = f"{shift:+d} semitones take {part.name} to {note_name(note.pitch, flats)} at {plan.place(note.onset)}"
    if instrument.low <= note.pitch <= instrument.high:
        return f"{where}, which no hand holds there on the {instrument.name}"
    neck = f"{note_name(instrument.low, flats)}..{note_name(instrument.high, flats)}"
    return f"{where}, but the {instrument.name} has {neck}"


def _shifted(arrangement: Arrangement, shift: int) -> Arrangement:
    """All notes moved; strings and frets are chosen anew."""
    if not shift:
        return arrangement
    notes = (replace(note, pitch=note.pitch + shift, string=None, fret=None) for note in arrangement.notes)
    return Arrangement(tuple(notes))


def _moved(plan: Plan, key: Key, shift: int) -> Plan:
    parts = tuple(replace(part, low=part.low + shift, high=part.high + shift) for part in plan.parts)
    return replace(plan, key=key, parts=parts, spans=tuple(_span(span, plan.key, key) for span in plan.spans))


def _span(span: ChordSpan, old: Key, new: Key) -> ChordSpan:
    chord = _chord(span.chord, old, new)
    return replace(span, chord=chord, scale=scale_under_chord(new, chord))


def _chord(chord: Chord, old: Key, new: Key) -> Chord:
    """The chord on the same degree of the other key."""
    slash = f"/{_note(chord.bass, old, new)}" if chord.slash else ""
    return parse_chord(f"{_note(chord.root, old, new)}{chord.quality}{slash}")


def _note(note: Spelled, old: Key, new: Key) -> Spelled:
    """A note as far above the new tonic as it was above the old; with one accidental at most."""
    letters = LETTERS.index(note.letter) - LETTERS.index(old.tonic.letter)
    moved = new.tonic.up(letters % 7, (note.pc - old.tonic.pc) % OCTAVE)
    if abs(moved.alter) <= 1:
        return moved
    return parse_spelled((FLAT_NAMES if new.prefers_flats else SHARP_NAMES)[moved.pc])
