"""Every chord tone sounds."""

from __future__ import annotations

from solver.rules.coverage import RULE
from tests.rules.small import found, heard, plan_of

PAIR = plan_of(lead="", low="")
TWO = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead="", low="")


def test_the_parts_together() -> None:
    assert found(RULE, PAIR, lead=". E5 . G5", low="C3 . . .") == []


def test_a_missing_tone() -> None:
    assert found(RULE, PAIR, lead=". D5 . G5", low="C3 . . .") == [(None, 0)]
    assert [b.why for b in RULE.breaches(heard(PAIR, lead=". D5 . .", low="C3 . . ."))] == [
        "the third, the fifth of C is missing"
    ]


def test_each_chord() -> None:
    assert found(RULE, TWO, lead="E5 . G5 . | A5 . C5 .", low="C3 . . . | F3 . . .") == []
    assert found(RULE, TWO, lead="E5 . G5 . | A5 . G5 .", low="C3 . . . | F3 . . .") == [(None, 16)]


def test_a_note_that_is_held_over_sounds_in_both_chords() -> None:
    assert found(RULE, TWO, lead="E5 . G5 C5 | - . A5 .", low="C3 . . . | F3 . . .") == []


def test_the_named_bass_is_a_tone() -> None:
    plan = plan_of('chords = ["C/D"]', lead="", low="")
    assert found(RULE, plan, lead="C5 E5 G5 .", low="D3") == []
    assert found(RULE, plan, lead="C5 E5 G5 .", low="C3") == [(None, 0)]


def test_one_line_may_leave_out_the_fifth_of_four_tones() -> None:
    plan = plan_of('chords = ["C7"]', lead="")
    assert found(RULE, plan, lead="C5 E5 Bb5 .") == []
    assert found(RULE, plan, lead="C5 G5 Bb5 .") == [(None, 0)]
    assert found(RULE, plan_of(lead=""), lead="C5 E5 . .") == [(None, 0)]
    assert found(RULE, plan_of('chords = ["C7"]', lead="", low=""), lead="C5 E5 Bb5 .") == [(None, 0)]


def test_one_part_of_struck_chords_leaves_nothing_out() -> None:
    plan = plan_of('chords = ["C7"]', chords="")
    assert found(RULE, plan, chords="C4+E4+Bb4") == [(None, 0)]
    assert found(RULE, plan, chords="C4+E4+Bb4 C4+E4+G4") == []
