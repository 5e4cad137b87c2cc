"""Tracks of a standard MIDI file as plain notes in ticks, read with mido one track at a time.

mido reads past the end of a track's chunk and refuses foreign chunks; so the chunks are cut here and each track is
given to it alone. A chunk that is longer than the file, or a track that does not fit its chunk, is an error.
"""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mido import MidiTrack

MICROSECONDS_PER_MINUTE = 60_000_000
SMPTE_RATES = {24: Fraction(24), 25: Fraction(25), 29: Fraction(30000, 1001), 30: Fraction(30)}
LONGEST_RUN = 4096  # bytes of 128 and more in a row; longer ones are no text, and as a number would take for ever
PERCUSSION = 9  # channel index of General MIDI Level 1


class NotMidi(Exception):
    """Why bytes are not a standard MIDI file, in words."""


@dataclass(frozen=True)
class RawNote:
    """A note in ticks. ``hanging``: nothing released it, so it ends with its track."""

    channel: int
    pitch: int
    start: int
    end: int
    hanging: bool = False


@dataclass(frozen=True)
class RawTrack:
    """One track's name ("" where it has none) and notes by onset."""

    name: str
    notes: tuple[RawNote, ...]


@dataclass(frozen=True)
class Sequence:
    """What a file says. ``tempo`` in quarters a minute and ``metre`` are the first ones given, None where absent.

    ``texts`` are its text events.
    """

    tracks: tuple[RawTrack, ...]
    ticks_per_quarter: Fraction
    tempo: float | None
    metre: tuple[int, int] | None
    texts: tuple[str, ...] = ()


def parse_sequence(data: bytes, tempo: float) -> Sequence:
    """Read the bytes of a standard MIDI file, format 0, 1 or 2. Raises NotMidi.

    ``tempo`` (quarters a minute) turns frames into quarters where the file counts in SMPTE frames.
    """
    division, chunks = _chunks(data)
    tracks = [_mido_track(chunk, number) for number, chunk in enumerate(chunks, start=1)]
    events = [message for track in tracks for message in track]
    tempos = [MICROSECONDS_PER_MINUTE / event.tempo for event in events if event.type == "set_tempo" and event.tempo]
    metres = [(event.numerator, event.denominator) for event in events if event.type == "time_signature"]
    return Sequence(
        tuple(_raw_track(track) for track in tracks),
        _ticks_per_quarter(division, tempo),
        round(tempos[0], 2) if tempos else None,
        metres[0] if metres else None,
        tuple(event.text for event in events if event.type == "text"),
    )


def _chunks(data: bytes) -> tuple[int, list[bytes]]:
    """The header's division and the content of each track chunk; foreign chunks are passed over, as the format asks."""
    if data[:4] != b"MThd":
        raise NotMidi("is not a MIDI file (it does not begin with MThd); name a standard MIDI file")
    if len(data) < 14:
        raise NotMidi("ends within its header; the file is broken")
    size, kind, count, division = struct.unpack(">LHHH", data[4:14])
    if size < 6 or kind > 2 or division in (0, 0x8000):
        raise NotMidi("has a header that no MIDI format knows; the file is broken")
    tracks: list[bytes] = []
    at = 8 + size
    while at + 8 <= len(data) and len(tracks) < count:
        name, length = data[at : at + 4], int.from_bytes(data[at + 4 : at + 8], "big")
        at += 8
        if at + length > len(data):
            raise NotMidi(f"ends within track {len(tracks) + 1}; the file is broken")
        if name == b"MTrk":
            tracks.append(data[at : at + length])
        at += length
    if len(tracks) < count:
        raise NotMidi(f"says it has {count} tracks and holds {len(tracks)}; the file is broken")
    return division, tracks


def _ticks_per_quarter(division: int, tempo: float) -> Fraction:
    if division < 0x8000:
        return Fraction(division)
    frames, per_frame = 256 - (division >> 8), division & 0xFF
    if frames not in SMPTE_RATES or per_frame == 0:
        raise NotMidi("counts time in frames of an unknown rate; the file is broken")
    return SMPTE_RATES[frames] * per_frame * 60 / Fraction(tempo)


class _Guarded(io.BytesIO):
    """Bytes that refuse an endless variable-length number, which mido would build bit by bit."""

    run = 0

    def read(self, size: int | None = -1, /) -> bytes:
        piece = super().read(size)
        self.run = self.run + 1 if len(piece) == 1 and piece[0] > 127 else 0
        if self.run > LONGEST_RUN:
            raise OSError("a number does not end")
        return piece


def _mido_track(chunk: bytes, number: int) -> MidiTrack:
    """One track's messages. Text is UTF-8, or Latin-1 where it is not valid UTF-8."""
    from mido import MidiFile

    header = struct.pack(">4sLHHH", b"MThd", 6, 0, 1, 480) + b"MTrk" + struct.pack(">L", len(chunk))
    for charset in ("utf-8", "latin-1"):
        try:
            return MidiFile(file=_Guarded(header + chunk), charset=charset).tracks[0]
        except UnicodeDecodeError:
            continue
        except Exception as error:  # mido raises many kinds on broken bytes: EOFError, OSError, KeySignatureError, …
            why = "".join(letter for letter in str(error) if letter.isprintable()) or "it ends too early"
            raise NotMidi(f"track {number} cannot be read as MIDI ({why}); the file is broken") from error
    raise NotMidi(f"track {number} holds text that cannot be read; the file is broken")


def _raw_track(track: MidiTrack) -> RawTrack:
    """Pair note-ons with note-offs. A key struck again while it sounds ends the note before."""
    name, now = "", 0
    sounding: dict[tuple[int, int], int] = {}
    notes: list[RawNote] = []
    for message in track:
        now += message.time
        if message.type == "track_name" and not name:
            name = "".join(letter if letter.isprintable() else " " for letter in message.name).strip()
        if message.type not in ("note_on", "note_off"):
            continue
        key = (message.channel, message.note)
        if key in sounding:
            notes.append(RawNote(*key, sounding.pop(key), now))
        if message.type == "note_on" and message.velocity:
            sounding[key] = now
    notes += [RawNote(*key, start, now, hanging=True) for key, start in sounding.items()]
    return RawTrack(name, tuple(sorted(notes, key=lambda n: (n.start, n.channel, n.pitch, n.end))))
