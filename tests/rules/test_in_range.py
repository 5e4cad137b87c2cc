"""Inside the range."""

from __future__ import annotations

from solver.rules.in_range import RULE, allows_state
from solver.search.state import State
from tests.rules.small import found, plan_of

PLAN = plan_of(lead='range = "C5..G5"')


def test_the_ends_of_the_range_belong_to_it() -> None:
    assert found(RULE, PLAN, lead="C5 . G5 .") == []


def test_notes_beyond_the_ends() -> None:
    assert found(RULE, PLAN, lead="B4 . A5 .") == [("lead", 0), ("lead", 8)]


def test_every_note_of_a_chord_counts() -> None:
    assert found(RULE, PLAN, lead="G4+C5 . . .") == [("lead", 0)]
    part = PLAN.part("lead")
    assert allows_state(PLAN, part, 0, State((72, 79)))
    assert not allows_state(PLAN, part, 0, State((67, 72)))
    assert not allows_state(PLAN, part, 0, State((72, 81)))
