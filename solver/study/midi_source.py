"""A standard MIDI file as a reference: a voice for each track, or for each channel of a track that has several."""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

from solver.export.midi_tracks import (
    MICROSECONDS_PER_MINUTE,
    PERCUSSION,
    NotMidi,
    RawNote,
    Sequence,
    parse_sequence,
)
from solver.study.errors import Unreadable
from solver.study.reference import MOST_NOTES, Reference, Tone, Voice

USUAL_TEMPO = 120.0  # quarters a minute where a file gives none (Standard MIDI Files 1.0)
LARGEST = 2_000_000  # bytes: MOST_NOTES with a hundred bytes of other messages each
SHORTER = "give a loop or a song, not a work"
SHORTEST = Fraction(1, 32)  # quarters that a note without length is given


@dataclass
class _Facts:
    """What the other messages of a file say. ``programs`` are by track and channel, times in ticks."""

    programs: dict[tuple[int, int], int] = field(default_factory=dict)
    tempos: list[float] = field(default_factory=list)
    metres: list[tuple[int, tuple[int, int]]] = field(default_factory=list)
    signature: str | None = None
    readable: bool = True


def read_midi_reference(data: bytes) -> Reference:
    """The reference in the bytes of a standard MIDI file. Raises Unreadable."""
    if len(data) > LARGEST:
        raise Unreadable(f"the file is larger than {LARGEST // 1_000_000} MB", SHORTER)
    try:
        sequence = parse_sequence(data, USUAL_TEMPO)
    except NotMidi as problem:
        wrong, _, right = str(problem).partition("; ")
        raise Unreadable(wrong, right) from problem
    pitched = sum(note.channel != PERCUSSION for track in sequence.tracks for note in track.notes)
    if pitched > MOST_NOTES:
        raise Unreadable(f"the file has {pitched} notes, and at most {MOST_NOTES} are studied", SHORTER)
    facts = _facts_of(data)
    drums = sum(note.channel == PERCUSSION for track in sequence.tracks for note in track.notes)
    hanging = sum(note.hanging for track in sequence.tracks for note in track.notes)
    end = max((note.end for track in sequence.tracks for note in track.notes), default=0)
    metre, metre_remarks = _main_metre(facts, sequence, end)
    remarks = [*metre_remarks, *_remarks(facts, drums, hanging)]
    return Reference(
        voices=_voices(sequence, facts),
        tempo=sequence.tempo,
        metre=metre,
        signature=facts.signature,
        end=Fraction(end) / sequence.ticks_per_quarter,
        remarks=tuple(remarks),
    )


def _voices(sequence: Sequence, facts: _Facts) -> tuple[Voice, ...]:
    voices = []
    for index, track in enumerate(sequence.tracks):
        channels = sorted({note.channel for note in track.notes} - {PERCUSSION})
        for channel in channels:
            notes = [note for note in track.notes if note.channel == channel]
            name = track.name if len(channels) == 1 else f"{track.name} {channel + 1}".strip()
            program = facts.programs.get((index, channel))
            voices.append(Voice(name, _tones(notes, sequence.ticks_per_quarter), program))
    return tuple(voices)


def _tones(notes: list[RawNote], ticks_per_quarter: Fraction) -> tuple[Tone, ...]:
    tones = set()
    for note in notes:
        start = Fraction(note.start) / ticks_per_quarter
        tones.add(Tone(start, max(Fraction(note.end) / ticks_per_quarter, start + SHORTEST), note.pitch))
    return tuple(sorted(tones))


def _facts_of(data: bytes) -> _Facts:
    """Programs, tempos, metres and key signature. A file with foreign chunks gives notes but not these."""
    from mido import MidiFile

    facts = _Facts()
    try:
        file = MidiFile(file=io.BytesIO(data), charset="latin-1")
    except Exception:  # mido raises many kinds, and refuses chunks that the format allows
        return _Facts(readable=False)
    for index, track in enumerate(file.tracks):
        now = 0
        for message in track:
            now += message.time
            if message.type == "program_change":
                facts.programs.setdefault((index, message.channel), message.program)
            elif message.type == "set_tempo" and message.tempo:
                facts.tempos.append(round(MICROSECONDS_PER_MINUTE / message.tempo, 2))
            elif message.type == "time_signature":
                facts.metres.append((now, (message.numerator, message.denominator)))
            elif message.type == "key_signature" and facts.signature is None:
                facts.signature = _key_words(message.key)
    return facts


def _main_metre(facts: _Facts, sequence: Sequence, end: int) -> tuple[tuple[int, int] | None, list[str]]:
    """The metre that lasts longest."""
    if len({metre for _, metre in facts.metres}) < 2:
        return sequence.metre, []
    changes = sorted(facts.metres)
    lasting: Counter[tuple[int, int]] = Counter()
    ends = [tick for tick, _ in changes[1:]] + [end]
    for (tick, metre), until in zip(changes, ends, strict=True):
        lasting[metre] += max(0, until - tick)
    main = max(lasting, key=lambda metre: (lasting[metre], metre == changes[0][1]))
    return main, [f"The metre changes; all bars are counted in {main[0]}/{main[1]}, which lasts longest."]


def _remarks(facts: _Facts, drums: int, hanging: int) -> list[str]:
    remarks = []
    if len(set(facts.tempos)) > 1:
        low, high = min(facts.tempos), max(facts.tempos)
        remarks.append(f"The tempo changes between {low:g} and {high:g}; the first one is given.")
    if drums:
        remarks.append(f"{drums} drum notes (channel 10) are left out.")
    if hanging:
        remarks.append(f"{hanging} notes are never released; they are read as held to their track's end.")
    if not facts.readable:
        remarks.append("The file holds chunks of another kind; programs and changes of tempo are not known.")
    return remarks


def _key_words(name: str) -> str:
    """``"F#m"`` as ``"F# minor"``."""
    return f"{name.removesuffix('m')} minor" if name.endswith("m") else f"{name} major"
