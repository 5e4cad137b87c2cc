"""No leap too large."""

from __future__ import annotations

from solver.rules.leaps import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of(lead="", background="")


def test_an_octave_in_the_lead_and_a_fifth_in_the_background() -> None:
    assert (PLAN.part("lead").max_leap, PLAN.part("background").max_leap) == (12, 7)
    assert found(RULE, PLAN, lead="C5 C6 G5 E5", background="C4 G4 E4 E4") == []


def test_a_tenth_in_the_lead_and_a_sixth_in_the_background() -> None:
    assert found(RULE, PLAN, lead="C5 E6 C6 G5", background="C4 A4 G4 E4") == [("background", 4), ("lead", 4)]


def test_the_way_back_to_the_first_note() -> None:
    assert found(RULE, PLAN, lead="C5 G5 C6 E6") == [("lead", 0)]


def test_the_top_note_of_a_chord_counts() -> None:
    assert found(RULE, plan_of(chords=""), chords="C3+E3+G3 C3+G4+B4") == [("chords", 0), ("chords", 8)]
    assert found(RULE, plan_of(chords=""), chords="C3+E3+G3 C4+E4+G3") == [("chords", 0), ("chords", 8)]
    assert found(RULE, plan_of(chords=""), chords="C3+E3+G3 G2+B2+C3") == []


def test_a_lone_note_moves_nowhere() -> None:
    assert found(RULE, PLAN, lead="C5 . . .") == []
