"""MIDI files of one line, for briefs that take a part from a file."""

from __future__ import annotations

from pathlib import Path

from mido import Message, MetaMessage, MidiFile, MidiTrack

TICKS = 96  # a quarter
BAR = ((0, 69), (1.5, 72), (2.5, 76), (3, 74))  # quarters from the bar's start, and pitch


def line_track(name: str, bars: int, channel: int = 0) -> MidiTrack:
    """A track of ``bars`` equal bars of 4/4."""
    track = MidiTrack()
    if name:
        track.append(MetaMessage("track_name", name=name))
    now = 0
    for bar in range(bars):
        for at, pitch in BAR:
            start = round((4 * bar + at) * TICKS)
            track.append(Message("note_on", channel=channel, note=pitch, velocity=80, time=start - now))
            track.append(Message("note_off", channel=channel, note=pitch, time=TICKS // 4))
            now = start + TICKS // 4
    return track


def write_line(path: Path, name: str = "", bars: int = 4) -> None:
    """Write a file with one such track."""
    file = MidiFile(type=1, ticks_per_beat=TICKS)
    file.tracks.append(line_track(name, bars))
    file.save(str(path))
