"""Ornaments are played as short notes, and read back as what they were."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.arrangement import Arrangement
from solver.brief.feel import GRID, Feel
from solver.brief.plan import Plan
from solver.export.midi import midi_bytes
from solver.export.midi_reading import read_midi
from solver.export.performing import performed
from solver.search.ornaments import ornamented
from tests.rules.small import heard, plan_of
from tests.search.test_ornaments import drawn

PLAN = plan_of('tempo = 120; ornaments = "many"; feel = "none"', lead="")


def pitches(plan: Plan, line: str) -> list[tuple[float, int]]:
    played = performed(plan, heard(plan, lead=line).arrangement, GRID)["lead"]
    return [(note.start, note.pitch) for note in played]


def test_a_mordent_touches_the_note_below_once() -> None:
    assert pitches(PLAN, "E5:mordent - - -") == [(0, 76), (0.5, 74), (1.0, 76)]


def test_a_trill_goes_up_and_back_and_ends_on_its_note() -> None:
    played = pitches(PLAN, "E5:trill . . .")
    assert played == [(index / 2, 77 if index % 2 else 76) for index in range(7)]


def test_a_run_leads_into_the_next_note() -> None:
    assert pitches(PLAN, "C5:run G5 - -") == [(0, 72), (2.5, 74), (3.0, 76), (3.5, 77), (4, 79)]


def test_added_notes_are_softer_and_follow_without_a_gap() -> None:
    played = performed(PLAN, heard(PLAN, lead="E5:trill . . .").arrangement, GRID)["lead"]
    assert max(note.velocity for note in played[1:]) < played[0].velocity
    assert [note.end for note in played[:-1]] == [note.start for note in played[1:]]


def read_back(folder: Path, plan: Plan, arrangement: Arrangement, feel: Feel) -> list[tuple[object, ...]]:
    path = folder / "line.mid"
    path.write_bytes(midi_bytes(plan, arrangement, feel))
    reading = read_midi(path, plan)
    assert reading.remarks == ()
    return placed(reading.arrangement)


def placed(arrangement: Arrangement) -> list[tuple[object, ...]]:
    return [(note.part, note.onset, note.pitch, note.ornament) for note in arrangement.notes]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("ornaments")


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=50, deadline=None, derandomize=True)
def test_they_are_read_back_whatever_the_feel(folder: Path, seed: int) -> None:
    case = drawn(seed)
    if case is None:
        return
    random = Random(seed + 3)
    plan, arrangement = case
    feel = random.choice((GRID, Feel(), Feel(spread=20, drag={"lead": -40.0, "low": 40.0}, swing=1.7)))
    lengths = random.choice(({}, {"lead": "muted"}, {"lead": "tenuto"}))
    plan = replace(plan, feel=replace(feel, lengths=lengths))
    if plan.metre.grid % 8 and plan.feel.swing != 1:
        plan = replace(plan, feel=replace(plan.feel, swing=1.0))
    arrangement = ornamented(plan, arrangement)
    assert read_back(folder, plan, arrangement, plan.feel) == placed(arrangement)


def test_quick_notes_of_ones_own_stay_notes_where_no_ornaments_are_wanted(folder: Path) -> None:
    path = folder / "own.mid"
    path.write_bytes(midi_bytes(PLAN, heard(PLAN, lead="E5:trill . . .").arrangement, GRID))
    plain = plan_of("tempo = 120", lead="")
    assert len(read_midi(path, plain).arrangement.notes) > 1


@pytest.mark.parametrize("kind", ["trill", "mordent"])
def test_one_that_is_played_ahead_of_the_loop_is_read_back(folder: Path, kind: str) -> None:
    arrangement = heard(PLAN, lead=f"E4:{kind} - C4 -").arrangement
    feel = Feel(drag={"lead": -40.0}, spread=20.0)
    assert read_back(folder, replace(PLAN, feel=feel), arrangement, feel) == placed(arrangement)
