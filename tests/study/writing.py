"""Reference loops of our own, and a small MIDI writer for them that shares nothing with the program.

A loop is a brief (NAME.toml), from which its truth is taken, and its notes (NAME.notes.toml). The MIDI holds notes,
names, tempo and metre, but neither key nor chords: those are to be found.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mido import Message, MetaMessage, MidiFile, MidiTrack, bpm2tempo

FOLDER = Path(__file__).parent / "loops"
NAMES = sorted(path.name.removesuffix(".notes.toml") for path in FOLDER.glob("*.notes.toml"))
TICKS = 480
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}

Event = tuple[int, int, int]  # onset and length in slots, pitch


@dataclass(frozen=True)
class ReferenceLoop:
    """A loop's brief as plain data, and the notes and varied places of each part."""

    name: str
    brief: dict[str, Any]
    parts: dict[str, tuple[Event, ...]]
    varied: dict[str, list[list[float]]]
    one_track: bool

    @property
    def metre(self) -> tuple[int, int]:
        """Numerator and denominator."""
        numerator, denominator = self.brief.get("meter", "4/4").split("/")
        return int(numerator), int(denominator)

    @property
    def grid(self) -> int:
        """Slots a bar."""
        numerator, denominator = self.metre
        return self.brief.get("grid", 16 * numerator // denominator)

    @property
    def chord_slots(self) -> list[str]:
        """The chord under each slot of the loop."""
        chords, slots = self.brief["chords"], self.brief["bars"] * self.grid
        lengths = self.brief.get("chord_bars", self.brief["bars"])
        lengths = lengths if isinstance(lengths, list) else [lengths] * len(chords)
        listed = [c for c, length in zip(chords, lengths, strict=True) for _ in range(round(length * self.grid))]
        return (listed * slots)[:slots]

    @property
    def chords(self) -> list[str]:
        """The chord at the start of each bar."""
        return self.chord_slots[:: self.grid]


def read_loop(name: str) -> ReferenceLoop:
    """One of the loops."""
    brief = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    notes = tomllib.loads((FOLDER / f"{name}.notes.toml").read_text(encoding="utf-8"))
    numerator, denominator = (int(number) for number in brief.get("meter", "4/4").split("/"))
    grid = brief.get("grid", 16 * numerator // denominator)
    parts = {part: tuple(_events(facts["bars"], grid)) for part, facts in notes["parts"].items()}
    varied = {part: facts["varied"] for part, facts in notes["parts"].items()}
    return ReferenceLoop(name, brief, parts, varied, notes.get("one_track", False))


def pitch_of(name: str) -> int:
    """``"Bb3"`` as 58."""
    letter, rest = name[0], name[1:]
    alter = rest.count("#") - rest.count("b")
    return 12 * (int(rest.strip("#b")) + 1) + SEMITONES[letter] + alter


def midi_of(loop: ReferenceLoop, programs: bool = True) -> MidiFile:
    """The loop as a MIDI file, format 1."""
    tick = TICKS * 4 * loop.metre[0] // loop.metre[1] // loop.grid
    head = MidiTrack(
        [
            MetaMessage("set_tempo", tempo=bpm2tempo(loop.brief["tempo"])),
            MetaMessage("time_signature", numerator=loop.metre[0], denominator=loop.metre[1]),
        ]
    )
    file = MidiFile(type=1, ticks_per_beat=TICKS)
    file.tracks.append(head)
    groups = [("", list(loop.parts.values()))] if loop.one_track else [(name, [p]) for name, p in loop.parts.items()]
    for channel, (name, parts) in enumerate(groups):
        track = MidiTrack([MetaMessage("track_name", name=name)] if name else [])
        if programs and name:
            program = PROGRAMS[loop.brief["parts"][name].get("instrument", "electric guitar")]
            track.append(Message("program_change", channel=channel, program=program))
        file.tracks.append(track)
        track.extend(_messages([event for part in parts for event in part], channel, tick))
    return file


# General MIDI 1, sound set: 25 nylon, 26 steel, 28 clean, 29 muted, 34 finger bass; less one as bytes.
PROGRAMS = {
    "electric guitar": 27,
    "muted electric guitar": 28,
    "acoustic guitar": 25,
    "nylon guitar": 24,
    "baritone guitar": 27,
    "bass guitar": 33,
}


def _messages(events: list[Event], channel: int, tick: int) -> list[Message]:
    timed = []
    for onset, length, pitch in events:
        timed.append((onset * tick, 1, pitch))
        timed.append(((onset + length) * tick, 0, pitch))
    messages, now = [], 0
    for at, on, pitch in sorted(timed):
        kind = "note_on" if on else "note_off"
        messages.append(Message(kind, channel=channel, note=pitch, velocity=80 if on else 0, time=at - now))
        now = at
    return messages


def _events(bars: list[str], grid: int) -> list[Event]:
    events = []
    for index, text in enumerate(bars):
        words = (bars[int(text[1:]) - 1] if text.startswith("=") else text).split()
        at = 0
        for word in words:
            sounds, length = word.split(":")
            if sounds != "-":
                events += [(index * grid + at, int(length), pitch_of(sound)) for sound in sounds.split("+")]
            at += int(length)
        if at != grid:
            raise ValueError(f"bar {index + 1} has {at} slots, not {grid}: {text}")
    return events
