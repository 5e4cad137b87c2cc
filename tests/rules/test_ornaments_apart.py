"""Ornaments keep apart."""

from __future__ import annotations

from solver.rules.ornaments_apart import RULE
from tests.rules.small import found, plan_of

PLAN = plan_of('ornaments = "many"', lead="", counter="")


def test_with_a_plain_note_between() -> None:
    assert found(RULE, PLAN, lead="E5:trill C5 G5:mordent C5") == []


def test_in_a_row() -> None:
    assert found(RULE, PLAN, lead="E5:trill G5:mordent C5 C5") == [("lead", 4)]


def test_in_a_row_over_the_seam() -> None:
    assert found(RULE, PLAN, lead="E5:trill C5 C5 G5:mordent") == [("lead", 12)]


def test_in_two_parts_at_once() -> None:
    assert found(RULE, PLAN, lead="E5:trill - . .", counter=". C5:mordent - -") == [("counter", 4)]
    assert found(RULE, PLAN, lead="E5:trill . . .", counter=". C5:mordent - -") == []


def test_struck_chords() -> None:
    assert found(RULE, plan_of(chords=""), chords="C4:trill+E4+G4 . . .") == [("chords", 0)]
    assert found(RULE, PLAN, lead="C5:trill+E5 . . .") == [("lead", 0)]
