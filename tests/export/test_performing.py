"""Feel: a file that is played reads back as the same notes, passes the same check, and lasts exactly its bars."""

from __future__ import annotations

import io
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID, LARGEST_SWING, PLAYED, Feel
from solver.brief.plan import Plan
from solver.check import breaches
from solver.export.midi import loop_ticks, midi_bytes
from solver.export.midi_reading import MidiReading, read_midi
from solver.export.performing import LIMIT, performed
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan

ROLES = ("lead", "counter", "background", "chords", "low")


def feels(*lengths: str) -> st.SearchStrategy[Feel]:
    return st.builds(
        Feel,
        swing=st.floats(1, LARGEST_SWING),
        pair=st.sampled_from([Fraction(1), Fraction(1, 2)]),
        drag=st.dictionaries(st.sampled_from(ROLES), st.floats(-40, 40)),
        accent=st.floats(0, 2),
        phrase=st.floats(0, 2),
        spread=st.floats(0, 20),
        touch=st.floats(0, 20),
        strum=st.floats(0, 40),
        strum_direction=st.sampled_from(["down", "up", "alternate"]),
        lengths=st.dictionaries(st.sampled_from(ROLES), st.sampled_from(lengths)),
    )


def read_back(folder: Path, plan: Plan, arrangement: Arrangement, feel: Feel) -> MidiReading:
    path = folder / "played.mid"
    path.write_bytes(midi_bytes(plan, arrangement, feel))
    return read_midi(path, replace(plan, feel=feel))


def starts_only(arrangement: Arrangement) -> list[tuple[str, int, int]]:
    return [(note.part, note.onset, note.pitch) for note in arrangement.notes]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from(["ferry-lights", "harbour-waltz"]),
    st.integers(1, 5),
    feels("written", "tenuto"),
    st.floats(60, 300),
)
def test_whatever_the_feel_the_same_notes_are_read_back(
    tmp_path: Path, name: str, seed: int, feel: Feel, tempo: float
) -> None:
    plan = replace(sample_plan(name), tempo=tempo)
    arrangement = sample_arrangement(plan, seed)
    reading = read_back(tmp_path, plan, arrangement, feel)
    assert reading.arrangement == arrangement
    assert [remark for remark in reading.remarks if "tempo" not in remark] == []


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(["ferry-lights", "harbour-waltz"]), st.integers(1, 5), feels("muted", "ring"))
def test_muted_and_ringing_notes_break_no_more_rules(tmp_path: Path, name: str, seed: int, feel: Feel) -> None:
    plan = sample_plan(name)
    arrangement = sample_arrangement(plan, seed)
    reading = read_back(tmp_path, plan, arrangement, feel)
    assert starts_only(reading.arrangement) == starts_only(arrangement)
    assert {str(breach) for breach in breaches(plan, reading.arrangement)} <= {
        str(breach) for breach in breaches(plan, arrangement)
    }


@pytest.mark.parametrize("name", TEXTS)
def test_a_played_file_lasts_exactly_its_bars_and_no_note_ends_after_them(name: str) -> None:
    plan = sample_plan(name)
    feel = Feel(swing=1.5, drag=dict.fromkeys(ROLES, -30.0), spread=12.0, lengths=dict.fromkeys(ROLES, "tenuto"))
    file = mido.MidiFile(file=io.BytesIO(midi_bytes(plan, sample_arrangement(plan), feel)), charset="utf-8")
    for track in file.tracks:
        assert sum(message.time for message in track) == loop_ticks(plan)
        assert track[-1].type == "end_of_track"
        held = [message.note for message in track if message.type == "note_on"]
        assert sorted(held) == sorted(message.note for message in track if message.type == "note_off")


def test_the_grid_is_the_grid() -> None:
    plan = sample_plan("night-ferry")
    arrangement = sample_arrangement(plan)
    for notes in performed(plan, arrangement, GRID).values():
        assert all((played.start, played.end) == (played.note.onset, played.note.end) for played in notes)


def test_by_default_it_sounds_played_and_stays_near_the_grid() -> None:
    plan = sample_plan("night-ferry")
    notes = [played for part in performed(plan, sample_arrangement(plan), PLAYED).values() for played in part]
    off = [played.start - played.note.onset for played in notes]
    assert max(map(abs, off)) <= LIMIT
    assert len({round(move, 6) for move in off}) > len(notes) / 4
    assert len({played.velocity for played in notes}) > 10


def test_equal_input_is_played_alike_and_another_seed_is_not() -> None:
    plan = sample_plan("ferry-lights")
    arrangement = sample_arrangement(plan)
    assert midi_bytes(plan, arrangement, PLAYED) == midi_bytes(plan, arrangement, PLAYED)
    assert midi_bytes(plan, arrangement, PLAYED) != midi_bytes(replace(plan, seed=7), arrangement, PLAYED)


def test_transposed_notes_are_played_alike() -> None:
    plan = sample_plan("night-ferry")
    arrangement = sample_arrangement(plan)
    higher = Arrangement(tuple(replace(note, pitch=note.pitch + 2) for note in arrangement.notes))
    for name, notes in performed(plan, arrangement, PLAYED).items():
        moved = performed(plan, higher, PLAYED)[name]
        assert [(one.start, one.velocity) for one in notes] == [(one.start, one.velocity) for one in moved]


def test_roles_drag_and_push_by_milliseconds() -> None:
    plan = sample_plan("ferry-lights")  # 138 a minute: a slot of a sixteenth lasts 108.7 ms
    arrangement = Arrangement((Note("lead", 4, 4, 71), Note("low", 4, 4, 47)))
    feel = Feel(drag={"lead": -10.0, "low": 20.0}, spread=0.0)
    played = performed(plan, arrangement, feel)
    slot = 60_000 / 138 / 4
    assert (played["lead"][0].start - 4) * slot == pytest.approx(-10)
    assert (played["low"][0].start - 4) * slot == pytest.approx(20)


def test_swing_in_the_file_is_the_ratio_asked_for() -> None:
    plan = sample_plan("ferry-lights")
    notes = Arrangement(tuple(Note("lead", slot, 2, 71) for slot in range(0, 16, 2)))
    starts = [played.start for played in performed(plan, notes, Feel(swing=2.0, drag={}, spread=0.0))["lead"]]
    assert starts == pytest.approx([0, 8 / 3, 4, 20 / 3, 8, 32 / 3, 12, 44 / 3])


def test_a_straight_file_of_a_swinging_brief_is_read_straight(tmp_path: Path) -> None:
    plan = replace(sample_plan("ferry-lights"), feel=Feel(swing=3.0))
    arrangement = sample_arrangement(plan)
    (tmp_path / "straight.mid").write_bytes(midi_bytes(plan, arrangement, GRID))
    assert read_midi(tmp_path / "straight.mid", plan) == MidiReading(arrangement, (), 0)


def test_a_swinging_file_that_was_evened_out_elsewhere_is_read_even(tmp_path: Path) -> None:
    """A file that tells of swing, whose notes were moved onto the grid since."""
    plan = replace(sample_plan("ferry-lights"), feel=Feel(swing=2.5))
    arrangement = sample_arrangement(plan)
    file = mido.MidiFile(file=io.BytesIO(midi_bytes(plan, arrangement, GRID)), charset="utf-8")
    file.tracks[0].insert(0, mido.MetaMessage("text", text="swing 2.5 on 8ths"))
    file.save(tmp_path / "evened.mid")
    assert read_midi(tmp_path / "evened.mid", plan).arrangement == arrangement


def test_a_swinging_file_is_read_whatever_the_brief_says_of_swing(tmp_path: Path) -> None:
    plan = sample_plan("ferry-lights")
    arrangement = sample_arrangement(plan)
    (tmp_path / "swung.mid").write_bytes(midi_bytes(plan, arrangement, Feel(swing=3.0)))
    assert read_midi(tmp_path / "swung.mid", plan) == MidiReading(arrangement, (), 0)


def test_a_swinging_file_that_no_longer_says_so_is_read_by_the_brief(tmp_path: Path) -> None:
    plan = replace(sample_plan("ferry-lights"), feel=Feel(swing=2.0))
    arrangement = sample_arrangement(plan)
    file = mido.MidiFile(file=io.BytesIO(midi_bytes(plan, arrangement, plan.feel)), charset="utf-8")
    file.tracks[0] = mido.MidiTrack(message for message in file.tracks[0] if message.type != "text")
    file.save(tmp_path / "played.mid")
    assert read_midi(tmp_path / "played.mid", plan).arrangement == arrangement


@pytest.mark.parametrize(
    ("direction", "slot", "order"),
    [("down", 0, 1), ("up", 0, -1), ("alternate", 0, 1), ("alternate", 4, 1), ("alternate", 2, -1)],
)
def test_chords_are_struck_down_on_the_beats_and_up_between(direction: str, slot: int, order: int) -> None:
    plan = sample_plan("night-ferry")
    chord = Arrangement(tuple(Note("strum", slot, 2, pitch) for pitch in (53, 56, 60, 63)))
    played = performed(plan, chord, Feel(strum_direction=direction, spread=0.0))["strum"]
    starts = [one.start for one in played][::order]
    assert starts == sorted(starts)
    assert len(set(starts)) == 4


def test_two_notes_are_struck_at_once() -> None:
    plan = sample_plan("harbour-waltz")
    dyad = Arrangement((Note("strum", 0, 2, 57), Note("strum", 0, 2, 60)))
    assert len({played.start for played in performed(plan, dyad, PLAYED)["strum"]}) == 1
