"""In the scale, as the sounding chord alters it."""

from __future__ import annotations

from solver.rules.in_scale import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('bars = 2; chords = ["C", "D7"]; chord_bars = 1', lead="")


def test_notes_of_the_key_and_of_the_chord() -> None:
    assert found(RULE, PLAN, lead="C5 F5 B5 D5 | F#5 A5 C5 B5") == []


def test_a_note_outside_the_key() -> None:
    assert found(RULE, PLAN, lead="C5 F#5 . . | Bb5 . . .") == [("lead", 4), ("lead", 16)]


def test_a_note_that_the_chord_replaces() -> None:
    """While D7 lasts, its F# stands in the place of F."""
    assert found(RULE, PLAN, lead="F5 . . . | . F5 . .") == [("lead", 20)]
