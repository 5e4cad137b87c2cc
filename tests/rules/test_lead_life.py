"""The lead is lively."""

from __future__ import annotations

import pytest

from solver.rules.lead_life import RULE, admits
from tests.rules.small import heard, onsets_of, plan_of

PLAN = plan_of(lead="")
LIVELY = "C5 . . E5 . . D5 ."


def whys(line: str, lead: str = "", top: str = "") -> list[str]:
    return [breach.why for breach in RULE.breaches(heard(plan_of(top, lead=lead), lead=line))]


def test_a_lively_lead() -> None:
    assert whys(LIVELY) == []


def test_half_of_the_moves_may_repeat_the_note() -> None:
    assert whys("C5 . . C5 . . C5 E5") == []
    assert whys("C5 . C5 C5 . C5 . E5") == ["3 of 5 moves repeat the note before"]


def test_a_leap_in_each_statement() -> None:
    assert whys("C5 . . D5 . . E5 D5") == ["no leap in this statement"]
    assert whys("C5 . . D5 . . E5 D5", lead='figure = "steps"') == []
    repeat = "repeat_every = 1; vary_notes = [1, 2]"
    assert whys(f"{LIVELY} | C5 . . D5 . . E5 .", repeat, "bars = 2") == ["no leap in this statement"]


def test_the_way_back_is_no_leap_of_a_statement() -> None:
    assert whys("C5 . . D5 . . E5 F5") == ["no leap in this statement"]


def test_notes_of_one_length() -> None:
    assert whys(". C5 . E5 . D5 . C5") == ["all its notes have one length"]


def test_notes_that_sound_one_length() -> None:
    """Distances of 10, 10 and 12 slots all sound for half a bar, the longest that a lead's note lasts."""
    line = ". C5 . . . . E5 . | . . . D5 . . . ."
    assert whys(line, top="bars = 2; chord_bars = 2") == ["all its notes have one length"]
    assert whys(line, top='bars = 2; chords = ["C", "Am"]; chord_bars = 1') == []  # the second ends with its chord


def test_a_syncopation_in_each_statement() -> None:
    assert whys("C5 - E5 . D5 . C5 E5") == ["no syncopation in this statement"]
    assert whys(f"{LIVELY} | C5 - E5 . D5 . C5 E5", "repeat_every = 1", "bars = 2") == [
        "no syncopation in this statement"
    ]


def test_a_grid_of_beats_leaves_no_room_for_one() -> None:
    assert whys("C5 E5 . D5", top="grid = 4") == []


def test_a_lead_that_fills_every_slot_has_no_room_either() -> None:
    assert whys(" ".join(["C5 E5"] * 4), lead="notes_per_bar = [8, 8]", top="grid = 8") == []


@pytest.mark.parametrize(
    ("line", "admitted"),
    [
        (LIVELY, True),
        (". C5 . E5 . D5 . C5", False),  # one length
        ("C5 - E5 . D5 . C5 E5", False),  # no syncopation
    ],
)
def test_rhythms(line: str, admitted: bool) -> None:
    assert admits(PLAN, PLAN.part("lead"), onsets_of(PLAN, lead=line)["lead"]) == admitted


def test_other_parts_may_be_dull() -> None:
    plan = plan_of(background="")
    assert RULE.breaches(heard(plan, background="C4 C4 C4 C4")) == []
    assert admits(plan, plan.part("background"), (0, 4, 8, 12))
