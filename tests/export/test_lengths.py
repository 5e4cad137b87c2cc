"""How long notes are held."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID, Feel
from solver.export.lengths import LIFT, OVERLAP, SHORTEST, held_until
from tests.export.sample_plans import sample_plan

PLAN = sample_plan("ferry-lights")  # Bm for two bars of 16 slots, then G for two
NOTES = (Note("lead", 0, 4, 71), Note("lead", 4, 4, 74), Note("lead", 12, 2, 71), Note("lead", 28, 8, 74))


def ends(how: str) -> list[float]:
    feel = Feel(lengths={"lead": how})
    found = held_until(PLAN, Arrangement(NOTES), feel)
    return [found[note] for note in NOTES]


def test_the_finger_leaves_just_before_a_note_that_follows_at_once() -> None:
    assert ends("written") == [4 - LIFT, 8, 14, 36]


def test_tenuto_holds_into_the_next_note() -> None:
    assert ends("tenuto") == [4 + OVERLAP, 8, 14, 36]


def test_muted_notes_last_half_as_long_but_into_the_chord_that_they_reach() -> None:
    assert ends("muted") == [2, 6, 13, 32 + SHORTEST]


def test_on_the_grid_nothing_is_let_go_early() -> None:
    found = held_until(PLAN, Arrangement(NOTES), GRID)
    assert [found[note] for note in NOTES] == [4, 8, 14, 36]


def test_strings_ring_to_the_next_stroke_or_the_end_of_the_chord() -> None:
    plan = replace(PLAN, parts=(replace(PLAN.part("lead"), repeat_every=None),))
    found = held_until(plan, Arrangement(NOTES), Feel(lengths={"lead": "ring"}))
    assert [found[note] for note in NOTES] == [4, 12, 28, 36]


def test_strings_do_not_ring_where_that_would_break_a_rule() -> None:
    """The low part's note would ring up to where it meets the lead's own pitch."""
    low, lead = Note("low", 0, 4, 59), Note("lead", 8, 4, 59)
    plan = replace(PLAN, parts=tuple(replace(part, repeat_every=None) for part in PLAN.parts))
    found = held_until(plan, Arrangement((low, lead)), Feel(lengths={"low": "ring"}))
    assert found[low] == 4


@pytest.mark.parametrize("how", ["written", "tenuto", "muted", "ring"])
def test_a_broken_chord_keeps_its_own_ring(how: str) -> None:
    plan = sample_plan("slack-water")
    note = Note("lead", 0, 16, 62, 4, 12)
    assert held_until(plan, Arrangement((note,)), Feel(lengths={"lead": how}))[note] == 16
