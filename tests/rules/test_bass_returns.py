"""The low part changes under each return of the lead."""

from __future__ import annotations

import pytest

from solver.rules.bass_returns import RULE, admits, returns
from tests.rules.small import found, onsets_of, plan_of

LEAD = "repeat_every = 1"
ONE = plan_of("bars = 2; chord_bars = 2", lead=LEAD, low="")


def test_another_note_under_the_return() -> None:
    assert found(RULE, ONE, low="C3 . . . | E3 . . .") == []


def test_the_same_note_under_the_return() -> None:
    assert found(RULE, ONE, low="C3 . . . | C3 . . .") == [("low", 16)]


def test_the_octave_is_another_note() -> None:
    assert found(RULE, ONE, low="C3 . . . | C4 . . .") == []


def test_nothing_under_the_return() -> None:
    assert found(RULE, ONE, low="C3 . . . | . E3 . .") == [("low", 16)]


def test_another_chord_under_the_return() -> None:
    plan = plan_of('bars = 2; chords = ["C", "Am"]; chord_bars = 1', lead=LEAD, low="")
    assert found(RULE, plan, low="C3 . . . | C3 . . .") == []


def test_a_bass_that_the_chord_names() -> None:
    plan = plan_of('bars = 2; chords = ["C/E"]; chord_bars = 1', lead=LEAD, low="")
    assert found(RULE, plan, low="E3 . . . | E3 . . .") == []


def test_each_return_is_held_against_the_one_before() -> None:
    plan = plan_of("bars = 3; chord_bars = 3", lead=LEAD, low="")
    assert returns(plan) == [(0, 16), (16, 32)]
    assert found(RULE, plan, low="C3 . . . | E3 . . . | C3 . . .") == []
    assert found(RULE, plan, low="C3 . . . | E3 . . . | E3 . . .") == [("low", 32)]


def test_a_lead_that_does_not_return() -> None:
    plan = plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2", low="")
    assert returns(plan) == []
    assert found(RULE, plan, low="C3 . . . | . . . .") == []


@pytest.mark.parametrize(("line", "admitted"), [("C3 . . . | C3 . . .", True), ("C3 . . . | . C3 . .", False)])
def test_rhythms(line: str, admitted: bool) -> None:
    assert admits(ONE, ONE.part("low"), onsets_of(ONE, low=line)["low"]) == admitted
    assert admits(ONE, ONE.part("lead"), (4,))
