"""Standard MIDI files (format 1, 480 ticks a quarter): an arrangement as bytes that production software reads.

Track 0 holds title, tempo, time and key signature and a marker for each chord; then comes one track for each part
in the brief's order. Every track ends exactly at the end of the last bar. Equal input gives equal bytes.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from solver.arrangement import Arrangement
from solver.brief.feel import GRID, Feel
from solver.brief.plan import PartPlan, Plan
from solver.export.performing import Played, performed
from solver.export.swing import swing_text
from solver.music.metre import TICKS_PER_QUARTER
from solver.music.scales import Key

if TYPE_CHECKING:
    from mido import MetaMessage, MidiTrack

CHANNELS = (*range(9), *range(10, 16))  # index 9 is kept for percussion (General MIDI Level 1)
MICROSECONDS_PER_MINUTE = 60_000_000
# Key signatures from seven flats to seven sharps.
_MAJOR_KEYS = [
    "Cb",
    "Gb",
    "Db",
    "Ab",
    "Eb",
    "Bb",
    "F",
    "C",
    "G",
    "D",
    "A",
    "E",
    "B",
    "F#",
    "C#",
]
_MINOR_KEYS = ["Abm", "Ebm", "Bbm", "Fm", "Cm", "Gm", "Dm", "Am", "Em", "Bm", "F#m", "C#m", "G#m", "D#m", "A#m"]


def midi_bytes(plan: Plan, arrangement: Arrangement, feel: Feel = GRID, *, only: str | None = None) -> bytes:
    """The arrangement as a MIDI file of exactly ``plan.bars`` bars, on the grid or played with a feel.

    A note that would sound past the last bar, or into the same pitch of the same part, is cut there: a MIDI channel
    cannot hold one key twice. One that is played ahead of the first bar starts with it. ``only`` names the one part
    to write.
    """
    from mido import MidiFile

    file = MidiFile(type=1, ticks_per_beat=TICKS_PER_QUARTER, charset="utf-8")
    file.tracks.append(_head_track(plan, feel))
    played = performed(plan, arrangement, feel)
    for part, channel in zip(plan.parts, CHANNELS, strict=False):
        if only in (None, part.name):
            file.tracks.append(_part_track(plan, part, channel, played[part.name]))
    buffer = io.BytesIO()
    file.save(file=buffer)
    return buffer.getvalue()


def key_signature(key: Key) -> str:
    """The key signature meta event's name for a key: modes as the major or minor key with the same signature."""
    third_is_minor = (key.scale[2].pc - key.tonic.pc) % 12 == 3
    return (_MINOR_KEYS if third_is_minor else _MAJOR_KEYS)[key.signature + 7]


def loop_ticks(plan: Plan) -> int:
    """Ticks from the loop's start to its end."""
    return plan.slots * plan.metre.ticks_per_slot


def _head_track(plan: Plan, feel: Feel) -> MidiTrack:
    """Everything that holds for all parts; a file that swings says so in a text of its own."""
    from mido import MetaMessage

    start = [
        MetaMessage("track_name", name=plan.title),
        MetaMessage("set_tempo", tempo=round(MICROSECONDS_PER_MINUTE / plan.tempo)),
        MetaMessage("time_signature", numerator=plan.metre.numerator, denominator=plan.metre.denominator),
        MetaMessage("key_signature", key=key_signature(plan.key)),
    ]
    if feel.swing != 1:
        start.append(MetaMessage("text", text=swing_text(feel)))
    timed: list[tuple[int, MetaMessage]] = [(0, message) for message in start]
    for span in plan.spans:
        timed.append((span.start * plan.metre.ticks_per_slot, MetaMessage("marker", text=span.chord.symbol)))
    return _track(timed, loop_ticks(plan))


def _part_track(plan: Plan, part: PartPlan, channel: int, notes: list[Played]) -> MidiTrack:
    """One part: its name, its program and its notes, note-offs before note-ons where they fall together."""
    from mido import Message, MetaMessage

    timed: list[tuple[int, Message | MetaMessage]] = [
        (0, MetaMessage("track_name", name=part.name)),
        (0, Message("program_change", channel=channel, program=part.instrument.program)),
    ]
    # (tick, off before on, pitch, velocity)
    events: list[tuple[int, int, int, int]] = []
    for start, end, pitch, velocity in _in_ticks(plan, notes):
        events.append((start, 1, pitch, velocity))
        events.append((end, 0, pitch, 0))
    for tick, on, pitch, velocity in sorted(events):
        kind = "note_on" if on else "note_off"
        timed.append((tick, Message(kind, channel=channel, note=pitch, velocity=velocity)))
    return _track(timed, loop_ticks(plan))


def _in_ticks(plan: Plan, notes: list[Played]) -> list[tuple[int, int, int, int]]:
    """Start, end, pitch and velocity of each note, cut at the loop's end and where its pitch starts again."""
    loop = loop_ticks(plan)
    following: dict[int, int] = {}
    found: list[tuple[int, int, int, int]] = []
    for played in sorted(notes, key=lambda played: -played.start):
        start, end = (round(time * plan.metre.ticks_per_slot) for time in (max(played.start, 0.0), played.end))
        pitch = played.pitch
        end = min(end, loop, following.get(pitch, loop))
        if end > start:
            found.append((start, end, pitch, played.velocity))
            following[pitch] = start
    return found


def _track(timed: list, end: int) -> MidiTrack:
    """A track of messages at absolute ticks, closed at ``end``."""
    from mido import MetaMessage, MidiTrack

    track, now = MidiTrack(), 0
    for tick, message in timed:
        track.append(message.copy(time=tick - now))
        now = tick
    track.append(MetaMessage("end_of_track", time=end - now))
    return track
