"""The low part walks into half of the chord changes."""

from __future__ import annotations

from solver.rules.chord_approach import RULE, changes
from tests.rules.small import found, onsets_of, plan_of

TWO = plan_of('bars = 2; chords = ["C", "G"]; chord_bars = 1', low="")


def test_a_walk_into_the_chord() -> None:
    assert found(RULE, TWO, low="C3 . E3 F3 | G3 . . .") == []


def test_a_leap_into_the_chord() -> None:
    assert found(RULE, TWO, low="C3 . F3 E3 | G3 . . .") == [("low", 16)]


def test_a_single_note_before_the_change_does_not_count() -> None:
    assert found(RULE, TWO, low="C3 . . . | G3 . . .") == []
    assert changes(TWO, onsets_of(TWO, low="C3 . . . | G3 . . .")["low"]) == []


def test_the_change_at_the_loops_end() -> None:
    assert found(RULE, TWO, low="C3 . . . | G3 . . B2") == []
    assert found(RULE, TWO, low="C3 . . . | G3 . . G3") == [("low", 0)]


def test_half_of_the_changes_inside_the_loop() -> None:
    plan = plan_of('bars = 4; chords = ["C", "F", "C", "G"]; chord_bars = 1', low="")
    assert found(RULE, plan, low="C3 E3 | F3 G3 | C3 E3 | G3 .") == [("low", 16)]  # one of three
    assert found(RULE, plan, low="C3 E3 | F3 D3 | C3 E3 | G3 .") == []  # two of three


def test_half_of_all_with_the_way_back() -> None:
    """One of two inside; with the way back one of three."""
    plan = plan_of('bars = 3; chords = ["C", "F", "G"]; chord_bars = 1', low="")
    assert found(RULE, plan, low="C3 E3 | F3 A3 | D3 B2") == []
    assert found(RULE, plan, low="C3 E3 | F3 A3 | D3 G3") == [("low", 0)]


def test_no_change_between_two_spans_of_one_chord() -> None:
    plan = plan_of("bars = 2; chord_bars = 1", low="")
    assert found(RULE, plan, low="C3 G3 | C3 G3") == []


def test_what_holds_or_strikes_chords_does_not_walk() -> None:
    top = 'bars = 2; chords = ["C", "G"]; chord_bars = 1'
    assert found(RULE, plan_of(top, low='motion = "hold"'), low="C3 C3 | G3 G3") == []
    assert found(RULE, plan_of(top, low='texture = "dyads"'), low="C3+G3 C3+G3 | G3+D4 G3+D4") == []
