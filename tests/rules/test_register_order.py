"""Parts do not cross."""

from __future__ import annotations

import pytest

from solver.rules.register_order import RULE
from tests.rules.small import found, plan_of

THREE = plan_of(lead="", background="", low="")


def test_parts_in_order() -> None:
    assert found(RULE, THREE, lead="C5 E5", background="G4 E4", low="C3 E3") == []


def test_parts_that_cross() -> None:
    assert found(RULE, THREE, lead="C5 E4", background="G4 G4") == [("lead", 8)]
    assert found(RULE, THREE, background="G3 C4", low="C4 G3") == [("background", 0)]
    assert found(RULE, THREE, lead="C4 C5", low="D4 C3") == [("lead", 0)]


def test_the_same_pitch_at_once() -> None:
    assert found(RULE, THREE, lead="G4 C5", background="G4 E4") == [("lead", 0)]


def test_a_note_counts_as_long_as_it_sounds() -> None:
    assert found(RULE, THREE, lead="G4 - . .", background=". A4 . .") == [("lead", 4)]
    assert found(RULE, THREE, lead="G4 . . .", background=". A4 . .") == []


def test_the_ring_of_a_broken_chord_counts() -> None:
    plan = plan_of(lead="", chords='figure = "broken chord"')
    assert found(RULE, plan, lead=". . . G4", chords="A4 . . .") == [("lead", 12)]


CHORDS = plan_of(lead="", background="", chords="", low="")


@pytest.mark.parametrize(
    ("background", "chords", "broken"),
    [
        ("G4", "C4+E4+C5", []),  # a struck chord may enclose the background
        ("G4", "G3+C4+E4", []),
        ("C4", "E4+G4+C5", []),
    ],
)
def test_struck_chords_enclose(background: str, chords: str, broken: list[tuple[str, int]]) -> None:
    assert found(RULE, CHORDS, lead="E5", background=background, chords=chords, low="C3") == broken


def test_struck_chords_stay_under_the_lead_and_over_the_low_part() -> None:
    assert found(RULE, CHORDS, lead="C5", chords="G4+C5+E5") == [("lead", 0)]
    assert found(RULE, CHORDS, chords="C3+E3+G3", low="E3") == [("chords", 0)]


def test_two_leads_keep_the_order_of_the_brief() -> None:
    plan = plan_of(first='role = "lead"', second='role = "lead"')
    assert found(RULE, plan, first="E5", second="C5") == []
    assert found(RULE, plan, first="C5", second="E5") == [("first", 0)]
