"""Note slots: how long a note lasts, and whose pitch it repeats."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.arrangement import Note
from solver.brief.plan import Plan
from solver.held import Held
from solver.rhythm.skeleton import note_slots, skeleton_from
from tests.rules.small import plan_of


def lengths(plan: Plan, part: str, onsets: tuple[int, ...]) -> list[int]:
    return [slot.length for slot in note_slots(plan, plan.part(part), onsets)]


def test_a_note_lasts_to_the_next() -> None:
    plan = plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2")
    assert lengths(plan, "lead", (0, 6, 10, 15, 20)) == [6, 4, 5, 5, 8]


def test_no_longer_than_the_role_or_the_instrument_lets_it() -> None:
    plan = plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2", low='instrument = "muted electric guitar"')
    assert (plan.part("lead").longest, plan.part("low").longest) == (8, 4)
    assert lengths(plan, "lead", (0, 20)) == [8, 8]
    assert lengths(plan, "low", (0, 20)) == [4, 4]


@pytest.mark.parametrize("statement", [0, 1])
def test_what_is_held_lasts_as_long_in_every_statement(statement: int) -> None:
    plan = plan_of("bars = 4; chord_bars = 4", lead="repeat_every = 2")
    onsets = (0, 6, 20, 32, 38, 52)
    start, end = 32 * statement, 32 * statement + 20
    short = tuple(Note("lead", start + onset, length, 72) for onset, length in ((0, 3), (6, 12)))
    plan = replace(plan, held=(Held("lead", start, end, "notes", short, ""),))
    assert lengths(plan, "lead", onsets) == [3, 12, 8, 3, 12, 8]


def test_not_over_a_chord_change() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead="repeat_every = 2")
    assert lengths(plan, "lead", (0, 12, 18, 30)) == [8, 4, 8, 2]


def test_a_repeat_ends_its_notes_where_any_statement_changes_chord() -> None:
    plan = plan_of('bars = 4; chords = ["C", "F"]; chord_bars = [3, 1]', lead="repeat_every = 2")
    assert lengths(plan, "lead", (12, 28, 44, 60)) == [4, 4, 4, 4]


def test_a_broken_chord_rings_to_the_change() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead='figure = "broken chord"')
    slots = note_slots(plan, plan.part("lead"), (0, 4, 8, 20))
    assert [slot.end for slot in slots] == [16, 16, 16, 32]
    assert [slot.length for slot in slots] == [4, 4, 8, 8]
    single = note_slots(plan_of(lead=""), plan_of(lead="").part("lead"), (0, 4))
    assert [slot.end for slot in single] == [4, 12]


def test_notes_of_a_repeat_share_the_pitch_of_the_first_statement() -> None:
    plan = plan_of("bars = 6; chord_bars = 6", lead="repeat_every = 2; vary_notes = [0, 0]")
    onsets = tuple(32 * statement + slot for statement in range(3) for slot in (0, 6, 20))
    assert [slot.home for slot in note_slots(plan, plan.part("lead"), onsets)] == [0, 1, 2] * 3


def test_the_last_bar_of_the_last_statement_has_pitches_of_its_own_where_it_may_vary() -> None:
    plan = plan_of("bars = 6; chord_bars = 6", lead="repeat_every = 2; vary_notes = [0, 1]")
    onsets = tuple(32 * statement + slot for statement in range(3) for slot in (0, 6, 20))
    assert [slot.home for slot in note_slots(plan, plan.part("lead"), onsets)] == [0, 1, 2, 0, 1, 2, 0, 1, 8]


def test_every_note_has_its_own_pitch_where_nothing_repeats() -> None:
    plan = plan_of("bars = 2; chord_bars = 2", low="")
    assert [slot.home for slot in note_slots(plan, plan.part("low"), (0, 8, 16, 24))] == [0, 1, 2, 3]


def test_a_skeleton_has_every_part() -> None:
    plan = plan_of(lead="", low="")
    skeleton = skeleton_from(plan, {"lead": (0, 6), "low": (0,)})
    assert skeleton.onsets == {"lead": (0, 6), "low": (0,)}
    assert skeleton.notes == 3
    assert [(slot.part, slot.index) for slot in skeleton.slots["lead"]] == [("lead", 0), ("lead", 1)]
