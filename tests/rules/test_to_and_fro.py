"""The lead does not swing to and fro."""

from __future__ import annotations

import pytest

from solver.rules.to_and_fro import RULE, fours
from tests.rules.small import heard, plan_of


def slots(line: str, lead: str = "", top: str = "") -> list[int]:
    return [breach.slot for breach in RULE.breaches(heard(plan_of(top, lead=lead), lead=line))]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("C5 E5 C5 G5 . C5 E5 .", []),
        ("C5 E5 C5 D5 C5 E5 . .", []),
        ("C5 E5 C5 E5 . G5 . .", [0]),
        ("C5 E5 . C5 E5 C5 G5 .", [0, 2]),  # each four in a row counts, and slots are counted, not notes
        (". C5 C5 C5 . C5 . .", [2]),
    ],
)
def test_four_in_a_row(line: str, wanted: list[int]) -> None:
    assert slots(line) == wanted


def test_across_bar_lines_but_not_across_statements() -> None:
    line = "C5 . E5 . . . . . | C5 . E5 . . . . ."
    assert slots(line, top="bars = 2; chord_bars = 2") == [0]
    assert slots(line, "repeat_every = 1", "bars = 2; chord_bars = 2") == []


def test_fours_need_four_notes() -> None:
    plan = plan_of(lead="")
    assert list(fours(plan, plan.part("lead"), (0, 2, 4))) == []
    assert list(fours(plan, plan.part("lead"), (0, 2, 4, 6, 7))) == [0, 1]


def test_other_parts_may_swing() -> None:
    assert RULE.breaches(heard(plan_of(background=""), background="C4 E4 C4 E4")) == []
