"""The background is sparse and moves little."""

from __future__ import annotations

import pytest

from solver.rules.background_sparse import RULE, admits, admits_together
from tests.rules.small import found, onsets_of, plan_of

TWO = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead="", background="")
LEAD = "C5 E5 G5 E5 | C5 A5 C5 A5"


def test_a_sparse_background() -> None:
    assert found(RULE, TWO, lead=LEAD, background="G4 . . . | F4 . G4 .") == []


def test_a_chord_without_it() -> None:
    assert found(RULE, TWO, lead=LEAD, background="G4 . A4 . | . . . .") == [("background", 0)]


def test_more_notes_than_the_lead() -> None:
    assert found(RULE, TWO, lead="C5 E5 | C5 .", background="G4 . | F4 G4") == []
    assert found(RULE, TWO, lead="C5 E5 | C5 .", background="G4 A4 | F4 G4") == [("background", 0)]


def test_each_lead_has_more() -> None:
    plan = plan_of(first='role = "lead"', second='role = "lead"', background="")
    assert found(RULE, plan, first="C5 E5 G5 E5", second="C5 . . .", background="G4 A4") == [("background", 0)]


def test_four_different_pitches_in_a_pass() -> None:
    assert found(RULE, TWO, lead=LEAD, background="C4 D4 E4 . | F4 . . .") == []
    assert found(RULE, TWO, lead=LEAD, background="C4 D4 E4 . | F4 . G4 .") == [("background", 0)]


def test_a_pass_of_five_chords_may_have_five() -> None:
    plan = plan_of('bars = 5; chords = ["C", "F", "G", "Am", "Em"]; chord_bars = 1', background="")
    assert found(RULE, plan, background="C4 | D4 | E4 | F4 | G4") == []
    assert found(RULE, plan, background="C4 | D4 | E4 | F4 | G4 A4") == [("background", 0)]


@pytest.mark.parametrize(
    ("line", "alone", "together"),
    [
        ("G4 . . . | F4 . G4 .", True, True),
        ("G4 . A4 . | . . . .", False, True),
        ("G4 A4 G4 A4 A4 G4 A4 G4 | F4 . . .", True, False),
    ],
)
def test_rhythms(line: str, alone: bool, together: bool) -> None:
    onsets = onsets_of(TWO, lead=LEAD, background=line)
    assert admits(TWO, TWO.part("background"), onsets["background"]) == alone
    assert admits_together(TWO, onsets) == together
