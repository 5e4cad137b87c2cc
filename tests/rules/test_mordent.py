"""Where a mordent may stand."""

from __future__ import annotations

from solver.rules.mordent import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('ornaments = "many"', lead='range = "C4..G5"')


def test_a_beat_with_a_step_below() -> None:
    assert found(RULE, PLAN, lead="E5:mordent . C5 .") == []


def test_less_than_a_beat() -> None:
    assert found(RULE, PLAN, lead="E5:mordent . . . C5 . . .") == [("lead", 0)]


def test_the_step_below_leaves_the_range() -> None:
    assert found(RULE, PLAN, lead="C4:mordent . E4:mordent .") == [("lead", 0)]


def test_trills_are_no_business_of_this_rule() -> None:
    assert found(RULE, PLAN, lead="C4:trill . . .") == []
