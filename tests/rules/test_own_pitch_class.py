"""The background has a pitch class of its own."""

from __future__ import annotations

from solver.rules.own_pitch_class import RULE, excuse, own_pitch_classes
from tests.rules.small import found, heard, plan_of

PLAN = plan_of(lead="", background="", low="")


def test_a_chord_tone_that_nobody_else_has() -> None:
    assert found(RULE, PLAN, lead="C5 G5", background="E4 C4", low="C3") == []


def test_a_note_outside_the_chord() -> None:
    assert found(RULE, PLAN, lead="C5 E5", background="D4 C4", low="G2") == []


def test_nothing_of_its_own() -> None:
    assert found(RULE, PLAN, lead="C5 E5", background="G4 C4", low="G2") == [("background", 0)]


def test_an_octave_is_the_same_pitch_class() -> None:
    assert found(RULE, PLAN, lead="E5", background="E4", low="C3") == [("background", 0)]


def test_each_chord_wants_one() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead="", background="")
    assert found(RULE, plan, lead="C5 . | A5 .", background="G4 . | C4 .") == []
    assert found(RULE, plan, lead="C5 . | C5 .", background="G4 . | C4 .") == [("background", 16)]
    assert found(RULE, plan, lead="C5 . | C5 .", background="G4 . | . .") == [("background", 16)]


def test_the_ring_of_a_broken_chord_is_heard() -> None:
    plan = plan_of(lead="", background="", chords='figure = "broken chord"')
    assert found(RULE, plan, background=". . . E4", chords="E4 G4 C5 .") == [("background", 0)]
    assert found(RULE, plan, background=". . . E4", chords="C4 G4 C5 .") == []


def test_two_backgrounds_each_have_one() -> None:
    plan = plan_of(mist='role = "background"', haze='role = "background"')
    assert found(RULE, plan, mist="E4", haze="C4") == []
    assert found(RULE, plan, mist="E4", haze="E4") == [("haze", 0), ("mist", 0)]


def test_a_lone_part_has_no_other_to_differ_from() -> None:
    assert found(RULE, plan_of(background=""), background=". .") == []


def test_what_it_excuses() -> None:
    music = heard(PLAN, lead="C5 E5", background="D4 A4 A4 C4", low="G2")
    part, span = PLAN.part("background"), PLAN.spans[0]
    assert own_pitch_classes(music, part, span) == {2, 9}
    assert excuse(music, part, span, []) is None
    assert excuse(music, part, span, [0]) is None  # not its own
    assert excuse(music, part, span, [2, 9, 9]) == 9
    assert excuse(music, part, span, [9, 2]) == 2
