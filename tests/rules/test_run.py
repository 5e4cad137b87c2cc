"""Where a run may lead."""

from __future__ import annotations

from solver.rules.run import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('ornaments = "many"', lead='range = "C4..C6"')


def test_a_fourth_and_a_sixth() -> None:
    assert found(RULE, PLAN, lead="C5:run F5 - -") == []
    assert found(RULE, PLAN, lead="A5:run C5 - -") == []


def test_a_third_and_a_seventh() -> None:
    assert found(RULE, PLAN, lead="C5:run E5 - -") == [("lead", 0)]
    assert found(RULE, PLAN, lead="C5:run B5 - -") == [("lead", 0)]


def test_the_note_sounds_up_to_the_next() -> None:
    assert found(RULE, PLAN, lead="C5:run . F5 -") == [("lead", 0)]


def test_less_than_a_beat() -> None:
    assert found(RULE, PLAN, lead="C5:run F5 - - - - - -") == [("lead", 0)]


def test_the_end_runs_into_the_beginning() -> None:
    assert found(RULE, PLAN, lead="C5 - - G5:run") == []


def test_an_augmented_second_lies_on_the_way() -> None:
    """From E up to A in A harmonic minor: F and G sharp, a step of three semitones, which the scale has."""
    plan = plan_of('key = "A harmonic minor"; chords = ["Am"]; ornaments = "many"', lead="")
    assert found(RULE, plan, lead="E4:run A4 - -") == []
