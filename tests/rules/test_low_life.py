"""The low part is more than one note."""

from __future__ import annotations

from solver.rules.low_life import RULE
from tests.rules.small import found, plan_of


def test_more_than_one_note() -> None:
    assert found(RULE, plan_of(low=""), low="C3 . E3 .") == []


def test_one_note_throughout() -> None:
    assert found(RULE, plan_of(low=""), low=". C3 . C3") == [("low", 4)]


def test_a_single_note_is_no_row() -> None:
    assert found(RULE, plan_of(low=""), low="C3 . . .") == []


def test_a_pedal_that_is_asked_for() -> None:
    assert found(RULE, plan_of(low='motion = "hold"'), low="C3 . C3 .") == []
    plan = plan_of('bars = 2; chords = ["C", "Am"]; chord_bars = 1', low='motion = "hold"')
    assert found(RULE, plan, low="C3 . C3 . | C3 . C3 .") == [("low", 0)]


def test_the_lowest_note_of_a_chord_counts() -> None:
    plan = plan_of(low='texture = "dyads"')
    assert found(RULE, plan, low="C3+E3 . C3+G3 .") == [("low", 0)]
    assert found(RULE, plan, low="C3+G3 . E3+G3 .") == []
