"""A broken chord plays three tones of its chord."""

from __future__ import annotations

import pytest

from solver.rules.broken_chord import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of(lead='figure = "broken chord"')


@pytest.mark.parametrize("line", ["C4 E4 G4 E4", "G4 C5 E4 C5", "C4 . E4 .", "C4 . . ."])
def test_three_tones_or_as_many_as_there_are_notes(line: str) -> None:
    assert found(RULE, PLAN, lead=line) == []


def test_two_tones_in_three_notes() -> None:
    assert found(RULE, PLAN, lead="C4 E4 C5 .") == [("lead", 0)]


def test_a_note_outside_the_chord() -> None:
    assert found(RULE, PLAN, lead="C4 E4 G4 A4") == [("lead", 12)]
    assert found(RULE, PLAN, lead="C4 A4 G4 .") == [("lead", 0), ("lead", 4)]  # and two tones are left


def test_each_chord_has_three() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead='figure = "broken chord"')
    assert found(RULE, plan, lead="C4 E4 G4 . | C4 F4 A4 .") == []
    assert found(RULE, plan, lead="C4 E4 G4 . | C4 F4 C4 .") == [("lead", 16)]


def test_a_repeat_plays_the_first_chord() -> None:
    plan = plan_of('bars = 2; chords = ["C", "Am"]; chord_bars = 1', lead='figure = "broken chord"; repeat_every = 1')
    assert found(RULE, plan, lead="C4 E4 G4 . | C4 E4 G4 .") == []
    assert found(RULE, plan, lead="C4 E4 G4 . | C4 E4 A4 .") == [("lead", 16), ("lead", 24)]


def test_a_chord_of_two_tones_has_two() -> None:
    assert found(RULE, plan_of('chords = ["C5"]', lead='figure = "broken chord"'), lead="C4 G4 C5 G4") == []


def test_other_figures_are_free() -> None:
    assert found(RULE, plan_of(lead=""), lead="C4 D4 C4 D4") == []
