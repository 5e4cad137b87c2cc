"""The helper that writes small arrangements says what it was given."""

from __future__ import annotations

import pytest

from solver.arrangement import Note
from tests.rules.small import heard, notes_of, onsets_of, plan_of


def test_a_line_of_notes() -> None:
    plan = plan_of("bars = 2", lead="")
    assert notes_of(plan, "lead", "A4 - . C5 | . . C4+E4 -") == (
        Note("lead", 0, 8, 69),
        Note("lead", 12, 4, 72),
        Note("lead", 24, 8, 60),
        Note("lead", 24, 8, 64),
    )


def test_keys_of_the_brief_and_of_a_part() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead='range = "C4..C5"; notes_per_bar = [1, 2]')
    assert [span.chord.symbol for span in plan.spans] == ["C", "F"]
    assert (plan.parts[0].low, plan.parts[0].high, plan.parts[0].notes_per_bar) == (60, 72, (1, 2))


@pytest.mark.parametrize("text", ["A4 . . .", "A4 . . | . .", "A4 . | . . |"])
def test_a_line_that_does_not_fill_the_bars(text: str) -> None:
    with pytest.raises(ValueError, match="does not fill 2 bars of 16 slots evenly"):
        notes_of(plan_of("bars = 2", lead=""), "lead", text)


def test_a_part_that_the_plan_does_not_have() -> None:
    with pytest.raises(ValueError, match="the plan has no low"):
        heard(plan_of(lead=""), low="C3")


def test_a_silent_part_has_no_onsets() -> None:
    assert onsets_of(plan_of(lead="", low=""), lead=". C5") == {"lead": (8,), "low": ()}
