"""Reading MIDI files of any kind back into parts."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import mido
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from mido import Message, MetaMessage

from solver.arrangement import Arrangement, Note
from solver.export.midi import midi_bytes
from solver.export.midi_reading import MidiError, MidiReading, read_midi
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan

FERRY = sample_plan("ferry-lights")


def read(folder: Path, data: bytes) -> MidiReading:
    path = folder / "loop.mid"
    path.write_bytes(data)
    return read_midi(path, FERRY)


def saved(tracks: list[list], kind: int = 1, ticks: int = 480) -> bytes:
    file = mido.MidiFile(type=kind, ticks_per_beat=ticks)
    file.tracks += [mido.MidiTrack(track) for track in tracks]
    buffer = io.BytesIO()
    file.save(file=buffer)
    return buffer.getvalue()


def note(channel: int, pitch: int, wait: int, ticks: int) -> list[Message]:
    return [
        Message("note_on", channel=channel, note=pitch, velocity=80, time=wait),
        Message("note_off", channel=channel, note=pitch, time=ticks),
    ]


def line(name: str, *notes: list[Message]) -> list:
    return [MetaMessage("track_name", name=name), *(message for item in notes for message in item)]


def plain(reading: MidiReading) -> list[tuple[str, int, int, int]]:
    return [(n.part, n.onset, n.length, n.pitch) for n in reading.arrangement.notes]


THREE = [line("lead", note(0, 71, 0, 120)), line("low", note(1, 47, 0, 960)), line("middle", note(2, 59, 240, 240))]
EXPECTED = [("lead", 0, 1, 71), ("low", 0, 8, 47), ("middle", 2, 2, 59)]


@pytest.mark.parametrize("name", TEXTS)
def test_what_is_written_reads_back_as_the_same_notes(tmp_path: Path, name: str) -> None:
    plan = sample_plan(name)
    arrangement = sample_arrangement(plan, 7)
    (tmp_path / "a.mid").write_bytes(midi_bytes(plan, arrangement))
    assert read_midi(tmp_path / "a.mid", plan) == MidiReading(arrangement, (), 0)


@st.composite
def arrangements(draw: st.DrawFn) -> Arrangement:
    """Any notes that a MIDI channel can hold: no pitch twice at once within a part."""
    notes: list[Note] = []
    for part in FERRY.parts:
        starts = draw(st.lists(st.integers(0, FERRY.slots - 1), min_size=1, max_size=12, unique=True))
        pitches = draw(st.lists(st.integers(0, 127), min_size=1, max_size=4, unique=True))
        for pitch in pitches:
            for at, onset in enumerate(sorted(starts)):
                room = ([*sorted(starts), FERRY.slots])[at + 1] - onset
                notes.append(Note(part.name, onset, draw(st.integers(1, room)), pitch))
    return Arrangement(tuple(notes))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(arrangements())
def test_any_arrangement_survives_the_round_trip(tmp_path: Path, arrangement: Arrangement) -> None:
    assert read(tmp_path, midi_bytes(FERRY, arrangement)) == MidiReading(arrangement, (), 0)


def test_tracks_are_found_by_name_in_any_order_and_case(tmp_path: Path) -> None:
    named = [
        line("Middle", note(5, 59, 240, 240)),
        line("LOW ", note(5, 47, 0, 960)),
        line("lead", note(5, 71, 0, 120)),
    ]
    reading = read(tmp_path, saved(named))
    assert plain(reading) == EXPECTED
    assert reading.remarks == ()


def test_unnamed_tracks_are_taken_in_order(tmp_path: Path) -> None:
    reading = read(tmp_path, saved([line(f"Track {n}", *[track[1:]]) for n, track in enumerate(THREE)]))
    assert plain(reading) == EXPECTED
    assert any("in order" in remark for remark in reading.remarks)


def test_a_renamed_track_takes_the_place_that_is_left(tmp_path: Path) -> None:
    reading = read(tmp_path, saved([THREE[0], line("bottom", THREE[1][1:]), THREE[2]]))
    assert plain(reading) == EXPECTED
    assert any("low" in remark for remark in reading.remarks)


def test_one_track_with_a_channel_for_each_part(tmp_path: Path) -> None:
    timed = [(m, tick) for track in THREE for tick, m in _absolute(track[1:])]
    merged, now = [], 0
    for message, tick in sorted(timed, key=lambda item: item[1]):
        merged.append(message.copy(time=tick - now))
        now = tick
    reading = read(tmp_path, saved([merged], kind=0))
    assert plain(reading) == EXPECTED


def _absolute(messages: list) -> list[tuple[int, Message]]:
    now, found = 0, []
    for message in messages:
        now += message.time
        found.append((now, message))
    return found


def test_one_track_for_three_parts_is_told_in_words(tmp_path: Path) -> None:
    said = r"its 1 track with notes \(without a name\) cannot be told apart as the brief's 3 parts; name the tracks"
    with pytest.raises(MidiError, match=said):
        read(tmp_path, saved([line("", note(0, 60, 0, 120))]))


def test_too_many_nameless_tracks_name_what_is_expected(tmp_path: Path) -> None:
    tracks = [line("", note(0, 60 + n, 0, 120)) for n in range(4)]
    with pytest.raises(MidiError, match='name the tracks "lead", "low", "middle"'):
        read(tmp_path, saved(tracks))


def test_a_file_without_notes_says_so(tmp_path: Path) -> None:
    with pytest.raises(MidiError, match="holds no pitched notes"):
        read(tmp_path, saved([line("lead")]))


def test_a_silent_part_and_a_foreign_track_are_told(tmp_path: Path) -> None:
    reading = read(tmp_path, saved([*THREE[:2], line("drums", note(9, 36, 0, 120), note(9, 38, 0, 120))]))
    assert plain(reading) == EXPECTED[:2]
    assert reading.left_out == 2
    assert any('"middle"' in remark for remark in reading.remarks)
    assert any('"drums"' in remark for remark in reading.remarks)


@pytest.mark.parametrize("ticks", [24, 96, 960, 32767])
def test_any_resolution(tmp_path: Path, ticks: int) -> None:
    tracks = [
        line("lead", note(0, 71, 0, ticks // 4)),
        line("low", note(1, 47, 0, 2 * ticks)),
        line("middle", note(2, 59, ticks // 2, ticks // 2)),
    ]
    assert plain(read(tmp_path, saved(tracks, ticks=ticks))) == EXPECTED


def test_time_in_frames(tmp_path: Path) -> None:
    # 25 frames of 40 ticks a second: 1000 ticks a second, and at 138 quarters a minute 434.8 ticks a quarter.
    tracks = [
        line("lead", note(0, 71, 0, 109)),
        line("low", note(1, 47, 435, 435)),
        line("middle", note(2, 59, 0, 217)),
    ]
    data = bytearray(saved(tracks))
    data[12:14] = bytes([256 - 25, 40])
    assert plain(read(tmp_path, bytes(data))) == [("lead", 0, 1, 71), ("low", 4, 4, 47), ("middle", 0, 2, 59)]


def test_independent_tracks_of_format_2_start_together(tmp_path: Path) -> None:
    assert plain(read(tmp_path, saved(THREE, kind=2))) == EXPECTED


def test_note_on_without_velocity_ends_a_note_and_running_status_is_read(tmp_path: Path) -> None:
    body = bytes([0, 0x90, 71, 80, 120, 71, 0, 0, 0xFF, 0x2F, 0])
    others = saved(THREE[1:])[14:]
    data = b"MThd" + struct.pack(">LHHH", 6, 1, 3, 480) + b"MTrk" + struct.pack(">L", len(body)) + body + others
    assert plain(read(tmp_path, data)) == EXPECTED


def test_notes_off_the_grid_move_to_the_nearest_slot_and_large_moves_are_told(tmp_path: Path) -> None:
    late = [line("lead", note(0, 71, 20, 120), note(0, 73, 140, 100)), *THREE[1:]]
    reading = read(tmp_path, saved(late))
    assert plain(reading)[:2] == [("lead", 0, 1, 71), ("lead", 2, 1, 73)]
    assert reading.remarks == ("1 note moved by more than a quarter of a slot (bar 1, beat 1.5)",)


def test_a_note_pushed_ahead_of_the_first_beat_belongs_to_it(tmp_path: Path) -> None:
    pushed = [line("lead", note(0, 71, 15360 - 20, 140)), *THREE[1:]]
    assert plain(read(tmp_path, saved(pushed)))[0] == ("lead", 0, 1, 71)


def test_empty_hanging_doubled_and_overlong_notes_are_mended_and_told(tmp_path: Path) -> None:
    lead = line(
        "lead",
        note(0, 71, 0, 0),
        note(0, 74, 120, 20),
        note(0, 74, 0, 10),
        note(0, 66, 15360 - 150 - 120, 500),
        [Message("note_on", channel=0, note=78, velocity=80)],
    )
    reading = read(tmp_path, saved([lead, *THREE[1:]]))
    told = " ".join(reading.remarks)
    assert [entry for entry in plain(reading) if entry[0] == "lead"] == [
        ("lead", 0, 1, 71),
        ("lead", 1, 1, 74),
        ("lead", 127, 1, 66),
    ]
    for words in ("without length", "twice in the same place", "past the last bar", "1 note after bar 8, left out"):
        assert words in told
    assert reading.left_out == 1


def test_a_hanging_note_is_held_to_the_end(tmp_path: Path) -> None:
    hanging = line("lead", [Message("note_on", channel=0, note=71, velocity=80)])
    hanging.append(MetaMessage("end_of_track", time=15360))
    reading = read(tmp_path, saved([hanging, *THREE[1:]]))
    assert plain(reading)[0] == ("lead", 0, 128, 71)
    assert any("never released" in remark for remark in reading.remarks)


def test_tempo_and_metre_that_differ_are_told(tmp_path: Path) -> None:
    head = [MetaMessage("set_tempo", tempo=500000), MetaMessage("time_signature", numerator=3, denominator=4)]
    reading = read(tmp_path, saved([head, *THREE]))
    assert reading.remarks == ("the file's tempo is 120, the brief's 138", "the file's metre is 3/4, the brief's 4/4")


def test_foreign_chunks_are_passed_over(tmp_path: Path) -> None:
    data = saved(THREE)
    assert plain(read(tmp_path, data[:14] + b"XFIH" + struct.pack(">L", 3) + b"abc" + data[14:])) == EXPECTED


def test_all_notes_outside_the_loop_is_an_error(tmp_path: Path) -> None:
    tracks = [line(part.name, note(0, 60, 20000, 120)) for part in FERRY.parts]
    with pytest.raises(MidiError, match="no note starts within the 8 bars"):
        read(tmp_path, saved(tracks))


def test_names_in_latin_1_are_read(tmp_path: Path) -> None:
    data = saved([line("Führung", note(0, 71, 0, 120)), *THREE[1:]])
    assert "Führung".encode("latin-1") in data
    assert plain(read(tmp_path, data)) == EXPECTED
