"""What dissonates above the lowest part, and what the chord makes of it."""

from __future__ import annotations

import pytest

from solver.merits.smoothness import MERIT
from tests.rules.small import heard, plan_of

PARTS = {"lead": "", "background": "", "low": ""}


@pytest.mark.parametrize(
    ("chord", "lead", "low", "dissonances"),
    [
        ("C", "C5", "C3", 0),
        ("C", "D5", "C3", 1),
        ("C", "Eb5", "C3", 0),
        ("C", "E5", "C3", 0),
        ("C", "F5", "C3", 1),
        ("C", "F#5", "C3", 1),
        ("C", "G5", "C3", 0),
        ("C", "A5", "C3", 0),
        ("C", "Bb5", "C3", 1),
        ("C", "B5", "C3", 1),
        ("C", "C5", "G3", 1),  # the fourth above the lowest part, though both are of the chord
        ("C7", "Bb5", "C3", 0),  # what the chord has above its bass
        ("C7", "Bb5", "E3", 1),
        ("Csus4", "F5", "C3", 0),
        ("C/G", "C5", "G3", 0),
    ],
)
def test_intervals_above_the_lowest_part(chord: str, lead: str, low: str, dissonances: int) -> None:
    plan = plan_of(f'chords = ["{chord}"]', lead="", low="")
    assert MERIT.measure(heard(plan, lead=f"{lead} . . .", low=f"{low} . . .")) == -dissonances


def test_other_parts_count_against_the_lowest_that_sounds_and_not_against_each_other() -> None:
    plan = plan_of(**PARTS)
    assert MERIT.measure(heard(plan, lead="C5", background="D4", low="A3")) == -1
    assert MERIT.measure(heard(plan, lead="C5", background="B3", low="E3")) == 0
    assert MERIT.measure(heard(plan, lead="C5", background="D4")) == -1


def test_a_struck_chord_counts_once_and_later_beats_do_not() -> None:
    plan = plan_of(lead="", chords="", low="")
    struck = heard(plan, lead="E5 F5 B4 D5", chords="D4+F4+B4", low="C3")
    assert MERIT.measure(struck) == -1
    assert MERIT.sentence(struck) == "1 of 2 intervals above the lowest part on the first beats of bars are dissonant"


def test_without_two_parts_at_once_there_is_nothing_to_count() -> None:
    apart = heard(plan_of(lead="", low=""), lead="C5 .", low=". B2")
    assert MERIT.sentence(apart) == "no two parts sound together on the first beat of a bar"
    assert MERIT.measure(apart) == 0
