"""Repeats and their ornaments."""

from __future__ import annotations

from solver.rules.ornament_repeats import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('bars = 2; ornaments = "many"', lead="repeat_every = 1; vary_notes = [0, 2]")


def test_the_same_in_both_statements() -> None:
    assert found(RULE, PLAN, lead="E5:trill C5 G5 C5 | E5:trill C5 G5 C5") == []


def test_another_one_or_none() -> None:
    assert found(RULE, PLAN, lead="E5:trill C5 G5 C5 | E5:mordent C5 G5 C5") == [("lead", 16)]
    assert found(RULE, PLAN, lead="E5 C5 G5 C5 | E5 C5 G5:trill C5") == [("lead", 24)]


def test_what_varies_carries_none() -> None:
    assert found(RULE, PLAN, lead="E5 C5 G5:trill C5 | E5 C5 A5 C5") == []
    assert found(RULE, PLAN, lead="E5 C5 G5:trill C5 | E5 C5 A5:trill C5") == [("lead", 24)]


def test_a_run_into_what_varies_is_left_out() -> None:
    assert found(RULE, PLAN, lead="C5 C5:run G5 C5 | C5 C5 E5 C5") == []
    assert found(RULE, PLAN, lead="C5 C5:run G5 C5 | C5 C5:run F5 C5") == [("lead", 20)]
