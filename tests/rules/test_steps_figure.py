"""The figure "steps" moves by step."""

from __future__ import annotations

import pytest

from solver.rules.steps_figure import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of(lead='figure = "steps"')


@pytest.mark.parametrize(
    ("line", "broken"),
    [
        ("C5 D5 E5 D5", False),
        ("C5 D5 E5 .", False),  # two steps and the leap back: two thirds
        ("C5 C5 D5 E5", False),  # a repetition is no move
        ("C5 D5 E5 G5", True),  # two steps of four moves
        ("C5 E5 G5 E5", True),
        ("C5 . . .", False),
        ("C5 C5 C5 C5", False),
    ],
)
def test_two_thirds(line: str, broken: bool) -> None:
    assert found(RULE, PLAN, lead=line) == ([("lead", 0)] if broken else [])


def test_other_figures_leap() -> None:
    assert found(RULE, plan_of(lead=""), lead="C5 E5 G5 E5") == []
