"""The counter answers in the lead's gaps."""

from __future__ import annotations

import pytest

from solver.rules.counter_answers import RULE, admits_together
from tests.rules.small import found, onsets_of, plan_of

PLAN = plan_of(lead="", counter="")


@pytest.mark.parametrize(
    ("counter", "kept"),
    [
        (". E4 . G4", True),
        ("E4 G4 . E4", True),  # two of three answer
        ("E4 G4 E4 E4", False),  # two of four
        ("E4 . E4 .", False),
        (". . . .", True),
    ],
)
def test_two_thirds_answer(counter: str, kept: bool) -> None:
    lead = "C5 . C5 ."
    assert found(RULE, PLAN, lead=lead, counter=counter) == ([] if kept else [("counter", 0)])
    assert admits_together(PLAN, onsets_of(PLAN, lead=lead, counter=counter)) == kept


def test_every_lead_is_answered() -> None:
    plan = plan_of(first='role = "lead"', second='role = "lead"', counter="")
    assert found(RULE, plan, first="C5 . . .", second=". . C5 .", counter=". E4 E4 E4") == []
    assert found(RULE, plan, first="C5 . . .", second=". . C5 .", counter=". E4 E4 .") == [("counter", 0)]
