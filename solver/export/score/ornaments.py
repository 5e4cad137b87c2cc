"""Ornaments on paper: signs for trills and mordents, small notes for runs.

A sign stands on the note that carries it; where its neighbour needs an accidental, that stands with the sign. A run's
notes are grace notes before the note into which they lead, in the time of the note before.
"""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree.ElementTree import Element

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.export.score.spelling import ACCIDENTALS, Accidentals, written_pitch
from solver.export.score.xml import add
from solver.music.fretboard import Place, places
from solver.music.ornaments import MORDENT, RUN, TRILL
from solver.ornaments import Piece, added_pitches, decorated, step_slots

SIGNS = {TRILL: "trill-mark", MORDENT: "mordent"}
TYPE = "16th"

Shapes = dict[Note, tuple[Piece, ...]]


@dataclass(frozen=True)
class Run:
    """The note that runs into the next one, and the pitches (MIDI) on the way."""

    note: Note
    pitches: tuple[int, ...]


def shapes_of(plan: Plan, part: PartPlan, notes: tuple[Note, ...]) -> Shapes:
    """What each note of a part that carries an ornament is played as."""
    return {note: pieces for note, pieces in decorated(plan, part, notes) if pieces}


def add_sign(notations: Element, plan: Plan, note: Note, pieces: tuple[Piece, ...], key: Accidentals) -> None:
    """The sign of a trill or mordent among a note's notations; nothing for a run."""
    if note.ornament not in SIGNS:
        return
    ornaments = add(notations, "ornaments")
    add(ornaments, SIGNS[note.ornament])
    other = written_pitch(plan, note.onset, added_pitches(pieces)[0])
    if other.alter != key.in_signature(other.letter):
        add(ornaments, "accidental-mark", ACCIDENTALS[other.alter])


def runs_before(plan: Plan, shapes: Shapes, bar: int) -> dict[int, Run]:
    """The runs of a bar by the slot before whose note each stands.

    One that leads from the loop's end to its start stands at the end.
    """
    first, last = bar * plan.metre.grid, (bar + 1) * plan.metre.grid
    return {
        note.end: Run(note, tuple(piece.pitch for piece in pieces if piece.added))
        for note, pieces in shapes.items()
        if note.ornament == RUN and (first <= note.end < last or note.end == last == plan.slots)
    }


def add_grace_notes(
    measure: Element,
    plan: Plan,
    part: PartPlan,
    run: Run,
    staff: int,
    accidentals: Accidentals,
    place: Place | None,
) -> None:
    """A run's notes as grace notes; on the tablature with places (``place`` is its long note's)."""
    stolen = round(100 * step_slots(plan) / run.note.length)
    here = place
    for pitch in run.pitches:
        element = add(measure, "note")
        add(element, "grace", slash="no", steal_time_previous=stolen)
        written = written_pitch(plan, run.note.onset, pitch)
        parts = add(element, "pitch")
        add(parts, "step", written.letter)
        if written.alter:
            add(parts, "alter", written.alter)
        add(parts, "octave", written.octave)
        add(element, "voice", staff)
        add(element, "type", TYPE)
        accidental = accidentals.needed(written, tied=False) if place is None else None
        if accidental:
            add(element, "accidental", accidental)
        if place is not None:
            add(element, "stem", "none")
        add(element, "staff", staff)
        if here is not None:
            here = near(part, here, pitch)
            technical = add(add(element, "notations"), "technical")
            add(technical, "string", here[0])
            add(technical, "fret", here[1])


def near(part: PartPlan, place: Place, pitch: int) -> Place:
    """Where a hand that holds a place takes a note close by: on the same string where it reaches, else beside it."""
    span = part.instrument.hand_span - 1
    return min(places(pitch, part.instrument), key=lambda other: _way(place, other, span))


def _way(place: Place, other: Place, span: int) -> tuple[bool, int, int]:
    frets = abs(place[1] - other[1]) if place[1] and other[1] else 0
    return frets > span, abs(place[0] - other[0]), frets
