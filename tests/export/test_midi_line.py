"""One line out of a MIDI file, whatever the bytes are: notes, or one clear line."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from mido import Message, MidiFile, MidiTrack

from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.export.midi_line import LineRead, Wanted, read_line
from solver.export.midi_reading import MidiError
from tests.brief.lines import TICKS, line_track

WANTED = st.builds(
    Wanted,
    st.one_of(st.none(), st.integers(1, 4), st.text(max_size=4)),
    st.one_of(st.none(), st.sampled_from([(1, 1), (2, 3), (4, 4)])),
    st.integers(-48, 48),
)


@cache
def plan() -> Plan:
    """A lead alone, four bars."""
    return plan_from_text('key = "A minor"\nbars = 4\nchords = ["Am"]\ngrid = 8\n[parts.lead]\n', "quay")


def data_of(kind: int = 1, ticks: int = TICKS, tracks: int = 1) -> bytes:
    """A sound file of that format and resolution."""
    file = MidiFile(type=kind, ticks_per_beat=ticks)
    file.tracks += [line_track(f"t{number}", 4) for number in range(tracks)]
    buffer = io.BytesIO()
    file.save(file=buffer)
    return buffer.getvalue()


def outcome(folder: Path, data: bytes, wanted: Wanted) -> LineRead | None:
    """What is read; None where it is refused in one line."""
    path = folder / "line.mid"
    path.write_bytes(data)
    try:
        return read_line(path, plan(), plan().part("lead"), wanted)
    except MidiError as error:
        problem = error
    assert "\n" not in str(problem)
    assert ";" in problem.message
    return None


def damaged() -> st.SearchStrategy[bytes]:
    """Random bytes, cut files, and files with single bytes changed."""
    sound = data_of()
    cut = st.integers(0, len(sound)).map(lambda size: sound[:size])
    changed = st.tuples(st.integers(14, len(sound) - 1), st.integers(0, 255)).map(
        lambda at: sound[: at[0]] + bytes([at[1]]) + sound[at[0] + 1 :]
    )
    return st.one_of(st.binary(max_size=80), st.binary(max_size=80).map(lambda rest: sound[:14] + rest), cut, changed)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=damaged(), wanted=WANTED)
def test_whatever_the_bytes_the_outcome_is_notes_or_one_line(tmp_path: Path, data: bytes, wanted: Wanted) -> None:
    read = outcome(tmp_path, data, wanted)
    if read is not None:
        assert read.notes
        slots = read.bars * plan().metre.grid
        assert all(0 <= note.onset < note.end <= slots and 0 <= note.pitch <= 127 for note in read.notes)


@pytest.mark.parametrize("kind", [0, 1, 2])
@pytest.mark.parametrize("ticks", [24, 96, 480, 960])
def test_every_format_and_resolution(tmp_path: Path, kind: int, ticks: int) -> None:
    file = MidiFile(type=kind, ticks_per_beat=ticks)
    track = line_track("lead", 4)
    for message in track:
        message.time = message.time * ticks // TICKS
    file.tracks.append(track)
    file.save(str(tmp_path / "line.mid"))
    read = read_line(tmp_path / "line.mid", plan(), plan().part("lead"), Wanted())
    assert [(note.onset, note.pitch) for note in read.notes[:4]] == [(0, 69), (3, 72), (5, 76), (6, 74)]
    assert read.bars == 4


@pytest.mark.parametrize("bars", [1, 2, 4, 6])
def test_a_file_may_be_shorter_than_the_loop(tmp_path: Path, bars: int) -> None:
    """What lies beyond its last bar is solved and is no rest that has to be kept."""
    file = MidiFile(ticks_per_beat=TICKS)
    file.tracks.append(line_track("lead", bars))
    file.save(str(tmp_path / "line.mid"))
    assert read_line(tmp_path / "line.mid", plan(), plan().part("lead"), Wanted()).bars == min(bars, 4)


@pytest.mark.parametrize(
    ("start", "end", "bars"),
    [(0, 4, 1), (0, 4.2, 1), (3, 5, 2), (3.9, 5, 2), (4, 8, 2), (7.7, 8, 2), (7.8, 8, 3)],
    ids=["to the line", "a little over", "tied over", "early", "a whole bar", "before the line", "early at the end"],
)
def test_a_note_near_a_bar_line_is_at_it(tmp_path: Path, start: float, end: float, bars: int) -> None:
    """Quarters of one note in 4/4; a slot is half a quarter."""
    file = MidiFile(ticks_per_beat=TICKS)
    track = MidiTrack([Message("note_on", note=69, velocity=80, time=round(start * TICKS))])
    track.append(Message("note_off", note=69, time=round((end - start) * TICKS)))
    file.tracks.append(track)
    file.save(str(tmp_path / "line.mid"))
    read = read_line(tmp_path / "line.mid", plan(), plan().part("lead"), Wanted())
    assert read.bars == bars
    assert 0 <= read.notes[0].onset < bars * plan().metre.grid


def test_of_several_tracks_without_the_part_s_name_one_has_to_be_named(tmp_path: Path) -> None:
    data = data_of(tracks=2)
    assert outcome(tmp_path, data, Wanted()) is None
    assert outcome(tmp_path, data, Wanted(track="T1")) is not None


def test_hanging_and_empty_notes_are_read_and_told(tmp_path: Path) -> None:
    file = MidiFile(type=1, ticks_per_beat=TICKS)
    track = line_track("", 2)
    track = type(track)(message for message in track if message.type != "note_off" or message.note != 74)
    next(message for message in track if message.type == "note_off").time = 0
    file.tracks.append(track)
    file.save(str(tmp_path / "line.mid"))
    read = read_line(tmp_path / "line.mid", plan(), plan().part("lead"), Wanted())
    assert any("never released" in remark for remark in read.remarks)
    assert any("without length" in remark for remark in read.remarks)
