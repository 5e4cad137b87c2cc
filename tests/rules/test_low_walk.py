"""The low part steps, or leaps between chord tones."""

from __future__ import annotations

from solver.rules.low_walk import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of(low="")


def test_steps_and_leaps_between_chord_tones() -> None:
    assert found(RULE, PLAN, low="C3 D3 E3 G3") == []
    assert found(RULE, PLAN, low="C3 C4 B3 C4") == []


def test_a_leap_to_a_note_outside_the_chord() -> None:
    assert found(RULE, PLAN, low="C3 F3 E3 C3") == [("low", 4)]


def test_more_than_an_octave() -> None:
    assert found(RULE, PLAN, low="C3 E4 C4 C3") == [("low", 4)]


def test_the_way_back() -> None:
    assert found(RULE, PLAN, low="C3 E3 G3 A3") == [("low", 0)]


def test_each_note_is_judged_by_its_own_chord() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', low="")
    assert found(RULE, plan, low="C3 G3 | A3 F3") == []
    assert found(RULE, plan, low="C3 A3 | F3 C3") == [("low", 8), ("low", 16)]


def test_other_parts_leap_as_they_like() -> None:
    assert found(RULE, plan_of(lead=""), lead="C5 F5 A5 B4") == []
    assert found(RULE, plan_of(low='texture = "dyads"'), low="C3+G3 D3+A3") == []
