"""Neighbours, the notes between two, and how long quick notes last."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from solver.music.ornaments import QUICKEST, SLOWEST, between, neighbour, quick_step
from solver.music.pitch import parse_note
from solver.music.scales import parse_key

C_MAJOR = parse_key("C major").pcs
A_HARMONIC = parse_key("A harmonic minor").pcs


def test_neighbours_are_a_semitone_or_a_whole_tone_off() -> None:
    e, f = parse_note("E4"), parse_note("F4")
    assert neighbour(e, C_MAJOR, 1) == f
    assert neighbour(f, C_MAJOR, -1) == e
    assert neighbour(e, C_MAJOR, -1) == parse_note("D4")
    assert neighbour(f, A_HARMONIC, 1) is None  # G sharp, an augmented second above


def test_the_notes_between_go_from_the_first_to_the_second() -> None:
    assert between(60, 67, C_MAJOR) == (62, 64, 65)
    assert between(67, 60, C_MAJOR) == (65, 64, 62)
    assert between(60, 62, C_MAJOR) == () == between(60, 60, C_MAJOR)


@given(st.floats(0.008, 4))
def test_quick_notes_are_neither_too_quick_nor_too_slow(slot: float) -> None:
    step = quick_step(slot)
    assert QUICKEST <= step * slot <= max(SLOWEST, QUICKEST + slot)
    # The first one is told from written notes: off the grid, or sooner after the note before than those follow.
    assert step <= 0.5 or step % 1 == 0.5
