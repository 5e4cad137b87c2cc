"""Where a trill may stand."""

from __future__ import annotations

from solver.rules.trill import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('ornaments = "many"', lead='range = "C4..G5"')


def test_a_beat_with_a_step_above() -> None:
    assert found(RULE, PLAN, lead="E5:trill . C5 .") == []


def test_less_than_a_beat() -> None:
    assert found(RULE, PLAN, lead="E5:trill . . . C5 . . .") == [("lead", 0)]


def test_the_step_above_leaves_the_range() -> None:
    assert found(RULE, PLAN, lead="G5:trill . C5 .") == [("lead", 0)]


def test_an_augmented_second_is_no_step_of_a_trill() -> None:
    plan = plan_of('key = "A harmonic minor"; chords = ["Am"]; ornaments = "many"', lead="")
    assert found(RULE, plan, lead="F4:trill . E4:trill .") == [("lead", 0)]


def test_a_repeat_over_another_chord_keeps_its_neighbour_or_has_none() -> None:
    """Under the first chord the trill on F goes to G, which is not in the scale under E7."""
    keys = 'key = "A minor"; bars = 2; chords = ["Am", "E7"]; chord_bars = 1; ornaments = "many"'
    plan = plan_of(keys, lead="repeat_every = 1")
    assert found(RULE, plan, lead="F4:trill . . . | F4:trill . . .") == [("lead", 16)]


def test_a_slow_hand_needs_more_than_a_beat_at_a_fast_tempo() -> None:
    plan = plan_of('tempo = 300; ornaments = "many"', lead="")
    assert found(RULE, plan, lead="E4:trill . . .") == [("lead", 0)]
    assert found(RULE, plan, lead="E4:trill - - .") == []
