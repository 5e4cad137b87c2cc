"""Loops for tests, made in place: parts as onsets and pitches."""

from __future__ import annotations

from solver.arrangement import Note
from solver.music.metre import Metre, parse_metre
from solver.study.loop import Loop, LoopPart

Events = list[tuple[int, int, int]]  # onset, length, pitch


def part(name: str, events: Events, program: int | None = None) -> LoopPart:
    """A part of these notes."""
    notes = sorted((Note(name, *event) for event in events), key=lambda note: (note.onset, note.pitch))
    return LoopPart(name, tuple(notes), program)


def loop(bars: int, metre: Metre | None = None, /, **parts: Events) -> Loop:
    """A loop of these parts, in 4/4 where no metre is given."""
    return Loop(metre or parse_metre("4/4"), bars, 120.0, tuple(part(name, events) for name, events in parts.items()))


def chord_bars(*chords: tuple[int, ...], slots: int = 16) -> Events:
    """One held chord a bar."""
    return [(bar * slots, slots, pitch) for bar, chord in enumerate(chords) for pitch in chord]


def repeated(events: Events, times: int, slots: int) -> Events:
    """A statement several times in a row."""
    return [(onset + turn * slots, length, pitch) for turn in range(times) for onset, length, pitch in events]
