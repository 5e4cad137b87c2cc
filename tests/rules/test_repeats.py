"""The repeat repeats, with a change at the end."""

from __future__ import annotations

import pytest

from solver.rules.repeats import RULE, admits
from tests.rules.small import found, heard, onsets_of, plan_of

PLAN = plan_of("bars = 4", lead="repeat_every = 2; vary_notes = [1, 2]")


@pytest.mark.parametrize(
    ("line", "broken"),
    [
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 E5 C5 .", []),
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 C5 E5 .", []),
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 E5 G5 .", [48]),  # nothing varies
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | C5 D5 E5 .", [48]),  # three notes vary
        ("C5 . E5 . | D5 E5 G5 . | C5 . G5 . | D5 E5 C5 .", [40]),  # a change before the last bar
        ("C5 . E5 . | D5 E5 G5 . | C5 E5 . . | D5 E5 C5 .", [36, 40]),  # another rhythm
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 E5 . G5", []),  # in the last bar a note may fall elsewhere
    ],
)
def test_two_statements(line: str, broken: list[int]) -> None:
    assert found(RULE, PLAN, lead=line) == [("lead", slot) for slot in broken]


def test_an_exact_repeat() -> None:
    plan = plan_of("bars = 2", lead="repeat_every = 1; vary_notes = [0, 0]")
    assert found(RULE, plan, lead="C5 . E5 . | C5 . E5 .") == []
    assert found(RULE, plan, lead="C5 . E5 . | C5 . G5 .") == [("lead", 16)]
    (breach,) = RULE.breaches(heard(plan, lead="C5 . E5 . | C5 . G5 ."))
    assert breach.why == "the last bar changes 1 note, not 0"


def test_three_statements() -> None:
    plan = plan_of("bars = 3", lead="repeat_every = 1")
    assert found(RULE, plan, lead="C5 . E5 . | C5 . E5 . | C5 . G5 .") == []
    assert found(RULE, plan, lead="C5 . E5 . | C5 . G5 . | C5 . G5 .") == [("lead", 24)]


def test_nothing_repeats_where_the_brief_says_so() -> None:
    assert found(RULE, plan_of("bars = 2", lead="repeat_every = 2"), lead="C5 . E5 . | D5 E5 G5 .") == []


@pytest.mark.parametrize(
    ("line", "admitted"),
    [
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 E5 G5 .", True),
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 E5 . G5", False),
        ("C5 . E5 . | D5 E5 G5 . | C5 . E5 . | D5 E5 . .", False),
        ("C5 . E5 . | . . . . | C5 . E5 . | . . . .", False),  # no note that could vary
    ],
)
def test_rhythms(line: str, admitted: bool) -> None:
    assert admits(PLAN, PLAN.part("lead"), onsets_of(PLAN, lead=line)["lead"]) == admitted
