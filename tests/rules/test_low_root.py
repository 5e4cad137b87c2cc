"""The low part starts on the root or the named bass."""

from __future__ import annotations

import pytest

from solver.rules.low_root import RULE, admits
from tests.rules.small import found, onsets_of, plan_of

TWO = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', low="")
SLASH = plan_of('bars = 2; chords = ["C", "F/A"]; chord_bars = 1', low="")


def test_the_root_at_the_start() -> None:
    assert found(RULE, TWO, low="C3 . . . | G3 . . .") == []


def test_another_note_at_the_start() -> None:
    assert found(RULE, TWO, low="E3 . . . | F3 . . .") == [("low", 0)]


def test_the_bass_that_a_slash_names() -> None:
    assert found(RULE, SLASH, low="C3 . . . | A2 . F3 .") == []
    assert found(RULE, SLASH, low="C3 . . . | F3 . A2 .") == [("low", 16)]
    assert found(RULE, plan_of('chords = ["C/E"]', low=""), low="C3 . E3 .") == [("low", 0)]


def test_a_chord_with_which_nothing_starts() -> None:
    assert found(RULE, TWO, low="C3 . . . | . F3 . .") == [("low", 16)]


def test_the_lowest_of_two_low_parts_is_meant() -> None:
    plan = plan_of(walk='role = "low"', ground='role = "low"')
    assert found(RULE, plan, walk="E3 . . .", ground="C3 . . .") == []
    assert found(RULE, plan, walk="C3 . . .", ground="E2 . . .") == [("ground", 0)]


def test_the_lowest_note_of_a_chord_counts() -> None:
    plan = plan_of(low='texture = "dyads"')
    assert found(RULE, plan, low="C3+G3 . . .") == []
    assert found(RULE, plan, low="G2+C3 . . .") == [("low", 0)]


@pytest.mark.parametrize(("line", "admitted"), [("C3 . . . | F3 . . .", True), ("C3 . . . | . F3 . .", False)])
def test_rhythms(line: str, admitted: bool) -> None:
    assert admits(TWO, TWO.part("low"), onsets_of(TWO, low=line)["low"]) == admitted
