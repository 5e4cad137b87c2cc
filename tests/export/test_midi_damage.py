"""MIDI files that are damaged, endless, too large or not there: one clear line each, never more."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.export.midi import midi_bytes
from solver.export.midi_reading import LARGEST_FILE, MidiError, MidiReading, read_midi
from tests.export.sample_arrangements import sample_arrangement
from tests.export.test_midi_reading import FERRY, line, note, read, saved

WHOLE = midi_bytes(FERRY, sample_arrangement(FERRY))


def attempt(folder: Path, data: bytes) -> MidiReading | MidiError:
    try:
        return read(folder, data)
    except MidiError as error:
        return error


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.integers(0, len(WHOLE) - 1), st.integers(0, 255)), max_size=6), st.integers(0, 60))
def test_damaged_files_read_or_fail_with_one_line(tmp_path: Path, hits: list[tuple[int, int]], cut: int) -> None:
    data = bytearray(WHOLE)
    for at, value in hits:
        data[at] = value
    outcome = attempt(tmp_path, bytes(data[: len(data) - cut]))
    if isinstance(outcome, MidiError):
        assert str(outcome).startswith(f"{tmp_path / 'loop.mid'}: ")
        assert str(outcome).isprintable()
    else:
        assert all(0 <= n.onset < n.end <= FERRY.slots for n in outcome.arrangement.notes)
        assert all(remark.isprintable() for remark in outcome.remarks)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=400))
def test_any_bytes_after_the_header_read_or_fail_with_one_line(tmp_path: Path, noise: bytes) -> None:
    head = b"MThd" + struct.pack(">LHHH", 6, 1, 1, 480) + b"MTrk" + struct.pack(">L", len(noise))
    with pytest.raises(MidiError, match=r"name a standard MIDI file|the file is broken"):
        read(tmp_path, noise)
    outcome = attempt(tmp_path, head + noise)
    assert isinstance(outcome, MidiReading) or str(outcome).isprintable()


def test_names_that_no_terminal_prints_stay_on_one_line(tmp_path: Path) -> None:
    tracks = [line(f"odd\n\x1bname {n}", note(0, 60 + n, 0, 120)) for n in range(4)]
    outcome = attempt(tmp_path, saved(tracks))
    assert isinstance(outcome, MidiError)
    assert str(outcome).isprintable()


def test_a_file_that_is_missing_a_folder_too_large_or_cut(tmp_path: Path) -> None:
    with pytest.raises(MidiError, match="cannot be read"):
        read_midi(tmp_path / "none.mid", FERRY)
    with pytest.raises(MidiError, match="cannot be read"):
        read_midi(tmp_path, FERRY)
    with pytest.raises(MidiError, match="larger than 5 MB"):
        read(tmp_path, b"MThd" + bytes(LARGEST_FILE))
    with pytest.raises(MidiError, match="ends within track"):
        read(tmp_path, WHOLE[:-20])
    with pytest.raises(MidiError, match="not a MIDI file"):
        read(tmp_path, b"RIFF....")
    with pytest.raises(MidiError, match="ends within its header"):
        read(tmp_path, WHOLE[:9])


def test_an_endless_number_is_refused_at_once(tmp_path: Path) -> None:
    body = bytes([0x80]) * 1_000_000
    with pytest.raises(MidiError, match="a number does not end"):
        read(tmp_path, b"MThd" + struct.pack(">LHHH", 6, 1, 1, 480) + b"MTrk" + struct.pack(">L", len(body)) + body)
