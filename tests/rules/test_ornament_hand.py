"""Ornaments and the hand's position."""

from __future__ import annotations

from solver.rules.ornament_hand import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('ornaments = "many"', lead='range = "E3..C6"')


def test_under_the_hand() -> None:
    assert found(RULE, PLAN, lead="E5:trill . C5 .") == []


def test_a_neighbour_that_no_position_of_the_phrase_reaches() -> None:
    """F3 on the lowest string and A5 on the highest need the hand at fret 13; B5 lies two frets beyond it."""
    assert found(RULE, PLAN, lead="A5:mordent . F3 .") == []
    assert found(RULE, PLAN, lead="A5:trill . F3 .") == [("lead", 0)]


def test_a_phrase_that_no_hand_reaches_as_written_is_another_rules_breach() -> None:
    assert found(RULE, PLAN, lead="B5:trill . F3 .") == []
