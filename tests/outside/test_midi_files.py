"""MIDI files against the specification (MIDI Manufacturers Association, Standard MIDI Files 1.0)."""

from __future__ import annotations

import io
import struct
from dataclasses import replace
from fractions import Fraction

import mido
import pytest

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.midi import midi_bytes
from solver.export.midi_tracks import RawNote, parse_sequence
from solver.music.metre import parse_metre
from solver.music.scales import parse_key
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import sample_plan

# The specification's own example of a format 0 file, 81 bytes (appendix, "Example MIDI Files").
EXAMPLE = bytes.fromhex(
    "4D546864 00000006 0000 0001 0060"
    "4D54726B 0000003B"
    "00FF580404021808 00FF510307A120"
    "00C005 00C12E 00C246"
    "00923060 003C60 60914340 60904C20"
    "8140823040 003C40 00814340 00804C40"
    "00FF2F00"
)
# Variable-length quantities: the table of the specification's section on them.
QUANTITIES = {
    0x00: "00",
    0x40: "40",
    0x7F: "7F",
    0x80: "81 00",
    0x2000: "C0 00",
    0x3FFF: "FF 7F",
    0x4000: "81 80 00",
    0x100000: "C0 80 00",
    0x1FFFFF: "FF FF 7F",
    0x200000: "81 80 80 00",
    0x8000000: "C0 80 80 00",
    0xFFFFFFF: "FF FF FF 7F",
}


def test_the_example_file_reads_as_the_specification_tells() -> None:
    assert len(EXAMPLE) == 81
    sequence = parse_sequence(EXAMPLE, 90.0)
    assert sequence.ticks_per_quarter == Fraction(96)
    assert (sequence.tempo, sequence.metre) == (120.0, (4, 4))
    (track,) = sequence.tracks
    assert track.notes == (
        RawNote(2, 48, 0, 384),
        RawNote(2, 60, 0, 384),
        RawNote(1, 67, 96, 384),
        RawNote(0, 76, 192, 384),
    )


def test_the_library_that_writes_our_files_writes_the_example_byte_for_byte() -> None:
    buffer = io.BytesIO()
    mido.MidiFile(file=io.BytesIO(EXAMPLE)).save(file=buffer)
    assert buffer.getvalue() == EXAMPLE


@pytest.mark.parametrize(("value", "written"), QUANTITIES.items())
def test_every_quantity_of_the_table_is_read_as_a_time(value: int, written: str) -> None:
    body = bytes.fromhex(written) + bytes([0x90, 60, 64, 96, 0x80, 60, 64, 0, 0xFF, 0x2F, 0])
    data = b"MThd" + struct.pack(">LHHH", 6, 0, 1, 96) + b"MTrk" + struct.pack(">L", len(body)) + body
    assert parse_sequence(data, 120.0).tracks[0].notes == (RawNote(0, 60, value, value + 96),)


def written_by(plan: Plan) -> bytes:
    return midi_bytes(plan, sample_arrangement(plan))


def test_the_header_is_format_1_with_480_ticks() -> None:
    plan = sample_plan("ferry-lights")
    assert written_by(plan)[:14] == bytes.fromhex("4D546864 00000006 0001 0004 01E0")


# FF 51 03 and microseconds a quarter note (the specification's set tempo event).
@pytest.mark.parametrize(
    ("tempo", "event"),
    [(120, "07A120"), (60, "0F4240"), (90, "0A2C2B"), (100, "0927C0"), (140, "068A1B"), (150, "061A80")],
)
def test_tempo_events(tempo: float, event: str) -> None:
    assert bytes.fromhex("00FF5103" + event) in written_by(replace(sample_plan("ferry-lights"), tempo=float(tempo)))


# FF 58 04: numerator, the denominator's power of two, 24 clocks a click, eight 32nds a quarter.
@pytest.mark.parametrize(
    ("metre", "event"),
    [("4/4", "04021808"), ("3/4", "03021808"), ("6/8", "06031808"), ("7/8", "07031808"), ("12/8", "0C031808")],
)
def test_time_signature_events(metre: str, event: str) -> None:
    plan = replace(sample_plan("ferry-lights"), metre=parse_metre(metre), spans=())
    assert bytes.fromhex("00FF5804" + event) in midi_bytes(plan, Arrangement(()))


# FF 59 02: sharps (flats as negative numbers), 1 for minor.
@pytest.mark.parametrize(
    ("key", "event"),
    [
        ("C major", "0000"),
        ("G major", "0100"),
        ("D major", "0200"),
        ("A major", "0300"),
        ("E major", "0400"),
        ("F major", "FF00"),
        ("Bb major", "FE00"),
        ("Eb major", "FD00"),
        ("Cb major", "F900"),
        ("C# major", "0700"),
        ("A minor", "0001"),
        ("E minor", "0101"),
        ("D minor", "FF01"),
        ("F# minor", "0301"),
        ("Eb minor", "FA01"),
        ("A# minor", "0701"),
    ],
)
def test_key_signature_events(key: str, event: str) -> None:
    assert bytes.fromhex("00FF5902" + event) in written_by(replace(sample_plan("ferry-lights"), key=parse_key(key)))


def test_every_track_ends_with_the_end_of_track_event() -> None:
    data = written_by(sample_plan("night-ferry"))
    at, tracks = 14, 0
    while at < len(data):
        length = int.from_bytes(data[at + 4 : at + 8], "big")
        assert data[at : at + 4] == b"MTrk"
        assert data[at + 8 : at + 8 + length].endswith(bytes.fromhex("FF2F00"))
        at, tracks = at + 8 + length, tracks + 1
    assert (at, tracks) == (len(data), 6)


# General MIDI Level 1 sound set, printed numbers less one: 24 nylon, 25 steel, 28 muted, 27 clean, 32 to 34 basses.
def test_programs_are_those_of_general_midi() -> None:
    for name, programs in (("harbour-waltz", {24, 33}), ("ferry-lights", {27, 28}), ("slack-water", {25})):
        file = mido.MidiFile(file=io.BytesIO(written_by(sample_plan(name))))
        found = {m.program for track in file.tracks for m in track if m.type == "program_change"}
        assert found == programs
