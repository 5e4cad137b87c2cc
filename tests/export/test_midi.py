"""MIDI files as written, read back with mido alone."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import mido
import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.feel import PLAYED
from solver.brief.plan import Plan
from solver.export.midi import key_signature, loop_ticks, midi_bytes
from solver.music.scales import parse_key
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan


def written(plan: Plan, arrangement: Arrangement) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(midi_bytes(plan, arrangement)), charset="utf-8")


def timed(track: Any) -> list[tuple[int, Any]]:
    now, found = 0, []
    for message in track:
        now += message.time
        found.append((now, message))
    return found


@pytest.mark.parametrize("name", TEXTS)
def test_every_track_ends_exactly_at_the_last_bar_and_no_note_later(name: str) -> None:
    plan = sample_plan(name)
    file = written(plan, sample_arrangement(plan))
    bar = int(480 * plan.metre.quarters_per_bar)
    assert (file.type, file.ticks_per_beat, len(file.tracks)) == (1, 480, 1 + len(plan.parts))
    for track in file.tracks:
        events = timed(track)
        assert events[-1][1].type == "end_of_track"
        assert events[-1][0] == plan.bars * bar == loop_ticks(plan)
        assert all(tick < plan.bars * bar for tick, message in events if message.type == "note_on")
        assert all(message.type != "note_on" or message.velocity for _, message in events)


@pytest.mark.parametrize("name", TEXTS)
def test_parts_have_their_names_channels_and_programs(name: str) -> None:
    plan = sample_plan(name)
    tracks = written(plan, sample_arrangement(plan)).tracks[1:]
    assert [track.name for track in tracks] == [part.name for part in plan.parts]
    channels = [{m.channel for m in track if hasattr(m, "channel")} for track in tracks]
    assert all(len(found) == 1 for found in channels)
    assert len(set.union(*channels)) == len(plan.parts)
    programs = [m.program for track in tracks for m in track if m.type == "program_change"]
    assert programs == [part.instrument.program for part in plan.parts]


def test_the_percussion_channel_is_passed_over() -> None:
    plan = sample_plan("ferry-lights")
    many = replace(plan, parts=tuple(replace(plan.parts[0], name=f"strand {n}") for n in range(12)))
    tracks = written(many, Arrangement(())).tracks[1:]
    assert [m.channel for track in tracks for m in track if m.type == "program_change"] == [
        *range(9),
        10,
        11,
        12,
    ]


def test_the_head_has_title_tempo_metre_key_and_a_marker_for_every_chord() -> None:
    plan = sample_plan("harbour-waltz")
    head = timed(written(plan, sample_arrangement(plan)).tracks[0])
    found = {message.type: message for _, message in head}
    assert found["track_name"].name == "Harbour waltz"
    assert found["set_tempo"].tempo == round(60_000_000 / 126)
    assert (found["time_signature"].numerator, found["time_signature"].denominator) == (3, 4)
    assert found["key_signature"].key == "Am"
    markers = [(tick, message.text) for tick, message in head if message.type == "marker"]
    chords = ["Am", "E7", "F", "G/B"] * 2
    assert markers == [(1440 * bar, chord) for bar, chord in enumerate(chords)]


def test_at_one_tick_notes_end_before_others_begin() -> None:
    plan = sample_plan("ferry-lights")
    notes = tuple(Note("lead", slot, 1, 71) for slot in range(16))
    events = timed(written(plan, Arrangement(notes)).tracks[1])
    at_second = [message.type for tick, message in events if tick == 120]
    assert at_second == ["note_off", "note_on"]


def test_a_note_that_is_struck_again_is_cut_there_and_the_last_at_the_end() -> None:
    plan = sample_plan("ferry-lights")
    notes = (Note("lead", 0, 8, 71), Note("lead", 4, 4, 71), Note("lead", 126, 9, 66))
    events = timed(written(plan, Arrangement(notes)).tracks[1])
    assert [(tick, m.note) for tick, m in events if m.type == "note_off"] == [(480, 71), (960, 71), (15360, 66)]


def test_equal_arrangements_give_equal_bytes() -> None:
    plan = sample_plan("night-ferry")
    assert midi_bytes(plan, sample_arrangement(plan, 4)) == midi_bytes(plan, sample_arrangement(plan, 4))


def test_titles_and_names_may_hold_any_letters() -> None:
    plan = sample_plan("ferry-lights")
    plan = replace(plan, title="Fähre – 渡し", parts=(replace(plan.parts[0], name="Führung"),))
    file = written(plan, Arrangement((Note("Führung", 0, 4, 71),)))
    assert [track.name for track in file.tracks] == ["Fähre – 渡し", "Führung"]


@pytest.mark.parametrize(
    ("key", "signature"),
    [
        ("B minor", "Bm"),
        ("D dorian", "Am"),
        ("G mixolydian", "C"),
        ("F lydian", "C"),
        ("E phrygian", "Am"),
        ("B locrian", "Am"),
        ("A harmonic minor", "Am"),
        ("Gb major", "Gb"),
        ("C# major", "C#"),
        ("Ab minor", "Abm"),
        ("A# minor", "A#m"),
    ],
)
def test_modes_are_written_as_the_key_with_their_signature(key: str, signature: str) -> None:
    assert key_signature(parse_key(key)) == signature


def test_what_is_played_ahead_of_the_first_bar_starts_with_it() -> None:
    plan = sample_plan("ferry-lights")
    name = plan.parts[0].name
    first = Arrangement((Note(name, 0, 4, 60), Note(name, 8, 4, 62)))
    ahead = replace(PLAYED, drag={plan.parts[0].role: -40.0}, spread=0.0)
    track = mido.MidiFile(file=io.BytesIO(midi_bytes(plan, first, ahead))).tracks[1]
    starts = [tick for tick, message in timed(track) if message.type == "note_on"]
    assert starts[0] == 0
    assert 0 < starts[1] < 8 * plan.metre.ticks_per_slot
