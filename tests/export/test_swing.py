"""Swing: a warp that can be undone and leaves every pair's start where it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.brief.feel import PAIRS, Feel
from solver.export.swing import Swing, swing_from_text, swing_of, swing_text
from solver.music.metre import parse_metre

RATIOS = st.floats(1, 3.5)


@given(RATIOS, st.sampled_from([2.0, 4.0, 6.0]), st.floats(-8, 600))
def test_it_can_be_undone(ratio: float, pair: float, time: float) -> None:
    swing = Swing(pair, ratio / (1 + ratio))
    assert swing.even(swing.swung(time)) == pytest.approx(time, abs=1e-6)
    assert swing.swung(swing.even(time)) == pytest.approx(time, abs=1e-6)


@given(RATIOS, st.integers(-2, 100))
def test_pairs_start_where_they_did_and_are_divided_in_the_ratio(ratio: float, number: int) -> None:
    swing = Swing(4.0, ratio / (1 + ratio))
    start, middle, end = (swing.swung(4 * number + at) for at in (0.0, 2.0, 4.0))
    assert (start, end) == (4 * number, 4 * number + 4)
    assert (middle - start) / (end - middle) == pytest.approx(ratio)


@given(RATIOS, st.floats(0, 64), st.floats(0, 64))
def test_it_keeps_the_order(ratio: float, one: float, other: float) -> None:
    swing = Swing(4.0, ratio / (1 + ratio))
    low, high = sorted((one, other))
    assert swing.swung(low) <= swing.swung(high)


@given(RATIOS, st.sampled_from(sorted(PAIRS)))
def test_what_a_file_says_of_it_reads_back(ratio: float, name: str) -> None:
    feel, metre = Feel(swing=ratio, pair=PAIRS[name]), parse_metre("4/4")
    assert swing_from_text(swing_text(feel), metre) == swing_of(feel, metre)


@given(st.one_of(st.text(), st.sampled_from(["swing 9 on 8ths", "swing 0.5 on 8ths", "swing 1e3 on 8ths", "swing on"])))
def test_other_texts_say_nothing_of_swing(text: str) -> None:
    assert swing_from_text(text, parse_metre("4/4")) is None


def test_even_time_is_even() -> None:
    swing = swing_of(Feel(), parse_metre("4/4"))
    assert [swing.swung(time) for time in (0.0, 0.5, 1.0, 3.25)] == pytest.approx([0.0, 0.5, 1.0, 3.25])


def test_pairs_are_those_of_the_grid() -> None:
    feel = Feel(swing=2.0)
    assert swing_of(feel, parse_metre("4/4")).pair == 4
    assert swing_of(feel, parse_metre("4/4", 24)).pair == 6
    assert swing_of(feel, parse_metre("3/4", 24)).pair == 8
