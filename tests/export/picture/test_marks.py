"""Which notes the picture marks."""

from __future__ import annotations

from dataclasses import replace

from solver.arrangement import Arrangement, Note
from solver.export.picture.marks import outside_notes, varied_notes
from tests.export.sample_plans import sample_plan

PLAN = sample_plan("ferry-lights")  # Bm and G in turn, two bars each; the lead repeats after four


def lead(onset: int, pitch: int) -> Note:
    return Note("lead", onset, 2, pitch)


def test_a_note_is_outside_by_the_chord_in_which_it_starts() -> None:
    in_chord, outside, late = lead(0, 71), lead(4, 69), Note("low", 30, 8, 42)
    under_g = lead(32, 69)
    found = outside_notes(PLAN, Arrangement((in_chord, outside, late, under_g)))
    assert found == {outside, under_g}


def test_other_pitches_and_new_notes_of_the_last_statement_are_varied() -> None:
    first = (lead(0, 71), lead(50, 67), lead(60, 66))
    same, other, new = lead(64, 71), lead(64 + 60, 62), lead(64 + 56, 74)
    found = varied_notes(PLAN, Arrangement((*first, same, lead(64 + 50, 67), other, new)))
    assert found == {other, new}


def test_nothing_is_varied_where_nothing_repeats() -> None:
    parts = tuple(replace(part, repeat_every=None) for part in PLAN.parts)
    assert varied_notes(replace(PLAN, parts=parts), Arrangement((lead(0, 71), lead(64, 69)))) == frozenset()
