"""Ornaments and the other parts."""

from __future__ import annotations

from solver.rules.ornament_clear import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('ornaments = "many"', lead="", background='range = "C4..C6"', low="")


def test_room_on_both_sides() -> None:
    assert found(RULE, PLAN, lead="E5:trill . C5:mordent .", background="C5 . . .") == []


def test_a_mordent_that_reaches_the_part_below() -> None:
    assert found(RULE, PLAN, lead="C5:mordent . . .", background="B4 - - -") == [("lead", 0)]
    assert found(RULE, PLAN, lead="C5:mordent . . .", background=". . B4 -") == []


def test_a_lower_part_that_would_reach_a_higher_one() -> None:
    plan = plan_of("", lead="", background='ornaments = "many"; range = "C4..C6"')
    assert found(RULE, plan, lead="C5 - - -", background="B4:trill - . .") == [("background", 0)]


def test_a_semitone_on_a_strong_beat() -> None:
    """F over E: the ninth is minor, and on the bar's start it is heard."""
    assert found(RULE, PLAN, lead="E5:trill . . .", low="E3 - - -") == [("lead", 0)]
    assert found(RULE, PLAN, lead=". E5:trill . .", low="E3 - - -") == []
    assert found(RULE, PLAN, lead="E5:mordent . . .", low="E3 - - -") == []
