"""Measures of rhythm: what holds besides their published values (tests/outside/test_rhythms.py)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.rhythm.measures import intervals, note_to_beat_distance, npvi

ONSETS = st.sets(st.integers(0, 15), min_size=1).map(sorted)


@given(ONSETS)
def test_intervals_go_once_around(onsets: list[int]) -> None:
    gaps = intervals(onsets, 16)
    assert sum(gaps) == 16
    assert len(gaps) == len(onsets)
    assert all(gap > 0 for gap in gaps)


def test_no_onset_has_no_measure() -> None:
    assert intervals((), 16) == ()
    assert note_to_beat_distance((), 16, 4) == Fraction(0)
    assert npvi((), 16) == 0.0


@given(st.sets(st.sampled_from([0, 4, 8, 12]), min_size=1).map(sorted))
def test_notes_on_the_beat_are_no_distance_from_it(onsets: list[int]) -> None:
    assert note_to_beat_distance(onsets, 16, 4) == 0


@pytest.mark.parametrize(
    ("onsets", "distance"),
    [
        ((2, 4), Fraction(1)),  # half a beat off and ended by the next beat: 2, over two notes
        ((2, 6), Fraction(3)),  # the first lasts past a beat and ends before the second: 4; the other past both: 2
        ((2, 8), Fraction(1)),  # held to the second beat exactly: once
        ((1,), Fraction(4)),  # a quarter of a beat off
    ],
)
def test_notes_off_the_beat(onsets: tuple[int, ...], distance: Fraction) -> None:
    assert note_to_beat_distance(onsets, 16, 4) == distance


@given(st.sampled_from([1, 2, 4, 8]))
def test_equal_notes_do_not_vary(count: int) -> None:
    assert npvi(range(0, 16, 16 // count), 16) == 0


@given(ONSETS)
def test_npvi_lies_between_0_and_200(onsets: list[int]) -> None:
    assert 0 <= npvi(onsets, 16) < 200
