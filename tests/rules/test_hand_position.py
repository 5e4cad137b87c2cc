"""Each phrase lies under one hand."""

from __future__ import annotations

from solver.rules.hand_position import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of("bars = 4", lead='repeat_every = 4; range = "E2..D6"')


def test_a_phrase_in_a_position() -> None:
    assert found(RULE, PLAN, lead="A4 B4 C5 D5 | E5 D5 C5 A4 | . . . . | . . . .") == []


def test_open_strings_are_free() -> None:
    """E4 is the open first string, C6 its twentieth fret."""
    assert found(RULE, PLAN, lead="E4 . C6 . | . . . . | . . . . | . . . .") == []


def test_two_ends_of_the_neck_in_a_phrase() -> None:
    """F3 lies at fret 13 at most, C6 at fret 20."""
    assert found(RULE, PLAN, lead=". F3 . . | C6 . . . | . . . . | . . . .") == [("lead", 4)]


def test_two_phrases_may_lie_apart() -> None:
    assert found(RULE, PLAN, lead="F3 . . . | . . . . | C6 . . . | . . . .") == []


def test_phrases_are_counted_within_a_statement() -> None:
    """Statements of three bars: phrases of two bars and of one."""
    plan = plan_of("bars = 6; chord_bars = 6", lead='repeat_every = 3; range = "E2..D6"')
    empty = " . . . . |"
    assert found(RULE, plan, lead=f"{empty * 2} F3 . . . | C6 . . . |{empty} . . . .") == []
    assert found(RULE, plan, lead=f"{empty * 3} F3 . . . | C6 . . . | . . . .") == [("lead", 48)]


def test_struck_and_broken_chords_have_rules_of_their_own() -> None:
    assert found(RULE, plan_of(chords=""), chords="F3+A3+C4 C6+E5+G5") == []
    assert found(RULE, plan_of(lead='figure = "broken chord"'), lead="F3 C6") == []
