"""The lead has 2 to 5 different pitches in each pass."""

from __future__ import annotations

import pytest

from solver.rules.lead_pitches import RULE, limit
from tests.rules.small import found, plan_of

PLAN = plan_of("bars = 2", lead="repeat_every = 2")


@pytest.mark.parametrize(
    ("line", "broken"),
    [
        ("C5 D5 E5 G5 | A5 G5 E5 C5", False),  # five
        ("C5 D5 E5 G5 | A5 B5 E5 C5", True),  # six
        ("C5 . C5 . | C5 E5 C5 .", False),  # two
        ("C5 . C5 . | C5 C5 C5 .", True),
        ("C5 . . . | . . . .", False),  # one note has one pitch
        ("C5 . C6 . | C4 . . .", False),  # octaves are different pitches
    ],
)
def test_two_to_five(line: str, broken: bool) -> None:
    assert found(RULE, PLAN, lead=line) == ([("lead", 0)] if broken else [])


def test_each_pass_counts_alone() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 0.5', lead="repeat_every = 2")
    assert found(RULE, plan, lead="C5 D5 E5 G5 | A5 B5 F5 C5") == []
    assert found(RULE, plan, lead="C5 D5 E5 G5 | A5 . A5 .") == [("lead", 16)]


def test_varied_notes_do_not_count() -> None:
    plan = plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 1")
    assert found(RULE, plan, lead="C5 D5 E5 G5 | A5 B5 F5 C6") == []
    assert found(RULE, plan, lead="C5 C5 C5 C5 | C5 D5 E5 C5") == [("lead", 0)]


def test_of_a_chord_the_top_note_counts() -> None:
    plan = plan_of(lead='texture = "dyads"')
    assert found(RULE, plan, lead="C4+E4 G4+E5 C4+E4 G4+E5") == []
    assert found(RULE, plan, lead="C4+E4 . G3+E4 .") == [("lead", 0)]


def test_a_broken_chord_may_have_the_triads_of_a_pass() -> None:
    plan = plan_of('bars = 2; chords = ["C", "Dm"]; chord_bars = 1', lead='figure = "broken chord"')
    assert limit(plan, plan.part("lead"), 0) == 6
    assert found(RULE, plan, lead="C4 E4 G4 E4 | D4 F4 A4 F4") == []
    assert found(RULE, plan, lead="C4 E4 G4 C5 | D4 F4 A4 F4") == [("lead", 0)]
    assert limit(PLAN, PLAN.part("lead"), 0) == 5
