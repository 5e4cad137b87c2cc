"""Damaged files give a study or one clear line, never anything else. ``python -m tests.bench fuzz`` tries thousands."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.study.damage import damaged, midi_bytes, outcome, xml_bytes

BOUNDED = settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@given(st.integers(0, 2**32))
@settings(BOUNDED, max_examples=60)
def test_damaged_midi(tmp_path: Path, seed: int) -> None:
    outcome(damaged(midi_bytes("mist-lanterns"), random.Random(seed)), tmp_path / "damaged.mid")


@given(st.integers(0, 2**32))
@settings(BOUNDED, max_examples=15)
def test_damaged_musicxml(tmp_path: Path, seed: int) -> None:
    outcome(damaged(xml_bytes("mist-lanterns", 2), random.Random(seed)), tmp_path / "damaged.musicxml")


@given(st.binary(max_size=300), st.sampled_from([b"", b"MThd", b"MThd\0\0\0\6\0\1\0\1\1\xe0MTrk", b"<", b"PK\3\4"]))
@settings(BOUNDED, max_examples=100)
def test_any_bytes(tmp_path: Path, data: bytes, start: bytes) -> None:
    line = outcome(start + data, tmp_path / "any.mid")
    assert line == "studied" or line.startswith(str(tmp_path))


@given(st.lists(st.tuples(st.integers(0, 500), st.integers(1, 100), st.integers(0, 127)), min_size=1, max_size=30))
@settings(BOUNDED, max_examples=30)
def test_any_notes(tmp_path: Path, notes: list[tuple[int, int, int]]) -> None:
    """Whatever is played, if the file is sound it is studied."""
    from mido import Message, MidiFile, MidiTrack

    events = sorted([(at * 30, 1, pitch) for at, _, pitch in notes] + [((at + n) * 30, 0, p) for at, n, p in notes])
    track, now = MidiTrack(), 0
    for at, on, pitch in events:
        track.append(Message("note_on" if on else "note_off", note=pitch, time=at - now))
        now = at
    path = tmp_path / "notes.mid"
    file = MidiFile(ticks_per_beat=120)
    file.tracks.append(track)
    file.save(str(path))
    assert outcome(path.read_bytes(), path) == "studied"


def test_the_undamaged_files_are_studied(tmp_path: Path) -> None:
    assert outcome(midi_bytes("mist-lanterns"), tmp_path / "sound.mid") == "studied"
    assert outcome(xml_bytes("mist-lanterns", 2), tmp_path / "sound.musicxml") == "studied"


@pytest.mark.parametrize("cut", [3, 10, 14, 20, 60])
def test_cut_midi(tmp_path: Path, cut: int) -> None:
    assert outcome(midi_bytes("mist-lanterns")[:cut], tmp_path / "cut.mid") != "studied"
