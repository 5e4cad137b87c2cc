"""The part moves as asked."""

from __future__ import annotations

import pytest

from solver.rules.bar_motion import RULE
from tests.rules.small import found, plan_of

FOUR = 'bars = 4; chords = ["C", "F", "G", "Am"]; chord_bars = 1'


@pytest.mark.parametrize(
    ("motion", "line", "broken"),
    [
        ("down", "C4 E4 | B3 G4 | B3 C4 | A3 E4", False),
        ("down", "C4 . | D4 . | B3 . | A3 .", True),  # it rises once
        ("down", "C4 A3 | C4 F3 | C4 B3 | C4 A3", True),  # it never falls
        ("down", "C4 . | . . | . B3 | . .", False),  # the first note of a bar, wherever it starts
        ("up", "A3 E4 | B3 G3 | B3 C4 | C4 E4", False),
        ("up", "A3 . | G3 . | B3 . | C4 .", True),
        ("up", "C4 . | C4 . | C4 . | C4 .", True),
        ("free", "C4 . | D4 . | B3 . | C4 .", False),
    ],
)
def test_up_and_down(motion: str, line: str, broken: bool) -> None:
    assert found(RULE, plan_of(FOUR, low=f'motion = "{motion}"'), low=line) == ([("low", 0)] if broken else [])


def test_each_pass_goes_down_anew() -> None:
    plan = plan_of('bars = 4; chords = ["C", "F"]; chord_bars = 1', low='motion = "down"')
    assert found(RULE, plan, low="C4 . | A3 . | C4 . | A3 .") == []
    assert found(RULE, plan, low="C4 . | A3 . | G3 . | A3 .") == [("low", 32)]


def test_hold() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', low='motion = "hold"')
    assert found(RULE, plan, low="C3 C3 | F3 F3") == []
    assert found(RULE, plan, low="C3 C3 | F3 A3") == [("low", 16)]


def test_of_a_chord_the_lowest_note_counts_in_a_low_part_and_the_highest_elsewhere() -> None:
    low = plan_of(low='motion = "hold"; texture = "dyads"')
    assert found(RULE, low, low="C3+E3 C3+G3") == []
    assert found(RULE, low, low="C3+G3 E3+G3") == [("low", 0)]
    chords = plan_of(chords='motion = "hold"')
    assert found(RULE, chords, chords="C3+E3+G3 E3+C3+G3") == []
    assert found(RULE, chords, chords="C3+E3+G3 C3+E3+G3+C4") == [("chords", 0)]
