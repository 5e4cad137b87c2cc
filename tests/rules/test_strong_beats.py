"""Strong beats carry chord tones."""

from __future__ import annotations

import pytest

from solver.rules.strong_beats import RULE
from tests.rules.small import found, plan_of

LEAD = plan_of(lead="")


def test_chord_tones_on_the_strong_beats() -> None:
    assert found(RULE, LEAD, lead="C5 D5 E5 F5") == []


def test_another_note_on_one() -> None:
    assert found(RULE, LEAD, lead="D5 C5 A4 C5") == [("lead", 0), ("lead", 8)]


@pytest.mark.parametrize(
    ("meter", "line", "broken"),
    [
        ("3/4", "C5 D5 F5", []),  # the bar's start alone is strong
        ("3/4", "D5 C5 E5", [("lead", 0)]),
        ("6/8", "C5 D5 F5 A4 D5 F5", [("lead", 6)]),  # so are the dotted beats
        ("6/8", "C5 D5 F5 E5 D5 F5", []),
        ("5/4", "C5 D5 F5 A4 B4", []),
    ],
)
def test_metres(meter: str, line: str, broken: list[tuple[str, int]]) -> None:
    assert found(RULE, plan_of(f'meter = "{meter}"', lead=""), lead=line) == broken


def test_every_note_of_a_struck_chord_counts_everywhere() -> None:
    plan = plan_of(chords="")
    assert found(RULE, plan, chords="C4+E4+G4 . . C4+E4+G4") == []
    assert found(RULE, plan, chords="C4+E4+G4 . . C4+F4+G4") == [("chords", 12)]


REPEAT = plan_of(
    'bars = 2; chords = ["C", "G"]; chord_bars = 1', lead='repeat_every = 1; vary_notes = [0, 0]; range = "C4..C6"'
)


def test_a_repeat_over_another_chord_is_judged_by_the_first() -> None:
    """Over G, E is no chord tone; it is a scale note with no chord tone a semitone below."""
    assert found(RULE, REPEAT, lead="E5 . G5 . | E5 . G5 .") == []


def test_a_repeat_that_rubs_on_the_other_chord() -> None:
    """C is a semitone above the B of G."""
    assert found(RULE, REPEAT, lead="C5 . G5 . | C5 . G5 .") == [("lead", 16)]


def test_a_repeat_is_not_judged_by_the_chord_it_lies_over() -> None:
    assert found(RULE, REPEAT, lead="G5 . E5 . | D5 . E5 .") == [("lead", 16)]


BACKGROUND = plan_of(lead="", background="")


def test_the_background_has_a_pitch_class_of_its_own() -> None:
    assert found(RULE, BACKGROUND, lead="C5 . G5 .", background="D4 . . .") == []


def test_the_background_is_not_excused_where_another_part_plays_that_pitch_class() -> None:
    assert found(RULE, BACKGROUND, lead="C5 D5 G5 .", background="D4 . . .") == [("background", 0)]


def test_the_background_is_not_excused_a_semitone_above_a_chord_tone() -> None:
    assert found(RULE, BACKGROUND, lead="C5 . G5 .", background="F4 . . .") == [("background", 0)]


def test_one_own_pitch_class_excuses_no_other() -> None:
    """D twice and A once: D is the background's own, A stands alone."""
    line = "D4 . A4 . | D4 . . ."
    assert found(RULE, plan_of("bars = 2", lead="", background=""), background=line) == [("background", 8)]
