"""Notes outside the chord come and go by step."""

from __future__ import annotations

import pytest

from solver.rules.passing_notes import RULE, moves_by_step
from tests.rules.small import found, plan_of

LEAD = plan_of(lead="")


@pytest.mark.parametrize("line", ["C5 D5 E5 F5 G5 F5 E5 D5", "E5 D5 E5 G5", "C5 G5 C5 E5", "C5 B4 C5 G5"])
def test_passing_and_neighbour_notes(line: str) -> None:
    assert found(RULE, LEAD, lead=line) == []


@pytest.mark.parametrize(
    ("line", "broken"),
    [
        ("C5 D5 G5 E5", [("lead", 4)]),  # left by a leap
        ("G5 D5 E5 G5", [("lead", 4)]),  # reached by a leap
        ("C5 D5 D5 E5", [("lead", 4), ("lead", 8)]),  # repeated
        ("C5 E5 G5 B4", [("lead", 12)]),  # reached by a leap, though it leads back to C by step
    ],
)
def test_leaps_to_and_from(line: str, broken: list[tuple[str, int]]) -> None:
    assert found(RULE, LEAD, lead=line) == broken


def test_the_loop_leads_back() -> None:
    assert found(RULE, LEAD, lead="C5 E5 C5 D5") == []
    assert found(RULE, LEAD, lead="G5 E5 C5 D5") == [("lead", 12)]


def test_a_lone_note_has_no_neighbours() -> None:
    assert found(RULE, LEAD, lead=". C5 . .") == []
    assert found(RULE, LEAD, lead=". D5 . .") == [("lead", 4)]


def test_a_step_in_the_scale_of_either_chord() -> None:
    """Under E7 the scale of A minor has G# in the place of G: F to G# is a step there, G to G# is none anywhere."""
    plan = plan_of('key = "A minor"; bars = 2; chords = ["Am", "E7"]; chord_bars = 1', lead="")
    part = plan.part("lead")
    assert moves_by_step(plan, part, 16, 65, 20, 68)
    assert not moves_by_step(plan, part, 0, 65, 4, 68)
    assert moves_by_step(plan, part, 12, 65, 16, 68)
    assert not moves_by_step(plan, part, 0, 69, 4, 69)


def test_a_repeat_is_judged_by_the_chord_of_the_first_statement() -> None:
    plan = plan_of(
        'bars = 2; chords = ["C", "F"]; chord_bars = 1', lead='repeat_every = 1; vary_notes = [0, 0]; range = "C4..C6"'
    )
    assert found(RULE, plan, lead="G4 E5 C5 . | G4 E5 C5 .") == []
    assert found(RULE, plan, lead="A4 C5 E5 . | A4 C5 E5 .") == [("lead", 0), ("lead", 16)]


BACKGROUND = plan_of(lead="", background="")


def test_the_background_leaps_to_its_own_pitch_class() -> None:
    assert found(RULE, BACKGROUND, lead="C5 . . .", background="G4 D4 G4 .") == []
    assert found(RULE, BACKGROUND, lead="C5 D5 . .", background="G4 D4 G4 .") == [("background", 4)]


def test_the_background_does_not_leap_to_a_semitone_above_a_chord_tone() -> None:
    assert found(RULE, BACKGROUND, lead="C5 . . .", background="C4 F4 C4 .") == [("background", 4)]


def test_one_own_pitch_class_excuses_no_other() -> None:
    assert found(RULE, BACKGROUND, lead="C5 . . .", background="G4 D4 G4 B4") == [("background", 12)]


def test_what_a_strong_note_needs_comes_first() -> None:
    """The strong A is excused as the background's own pitch class, so the loose D is not."""
    assert found(RULE, BACKGROUND, lead="C5 . . .", background="A4 D4 G4 D4") == [
        ("background", 4),
        ("background", 12),
    ]
    assert found(RULE, BACKGROUND, lead="C5 . . .", background="A4 C4 A4 C4") == []


def test_each_chord_has_an_own_pitch_class() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', background="")
    assert found(RULE, plan, background="G4 D4 G4 . | C4 G4 C4 .") == []
