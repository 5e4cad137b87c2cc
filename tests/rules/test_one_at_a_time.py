"""A line plays one note at a time."""

from __future__ import annotations

from solver.arrangement import Arrangement, Note
from solver.heard import Heard
from solver.rules.one_at_a_time import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of(lead="")
OVERLAP = Arrangement((Note("lead", 0, 6, 72), Note("lead", 4, 4, 76)))


def test_a_line() -> None:
    assert found(RULE, PLAN, lead="C5 E5 - G5") == []


def test_two_notes_at_once() -> None:
    assert found(RULE, PLAN, lead="C5 . E5+G5 .") == [("lead", 8)]


def test_a_note_that_still_sounds() -> None:
    assert [(breach.slot, breach.why) for breach in RULE.breaches(Heard(PLAN, OVERLAP))] == [
        (4, "the note before still sounds")
    ]


def test_the_notes_of_a_broken_chord_ring_over_each_other() -> None:
    assert RULE.breaches(Heard(plan_of(lead='figure = "broken chord"'), OVERLAP)) == []


def test_struck_chords_are_no_line() -> None:
    assert found(RULE, plan_of(chords=""), chords="C4+E4+G4 . . .") == []
