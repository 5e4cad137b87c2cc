"""Metres: grids, strong slots, weights, syncopation."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.music.faults import Fault
from solver.music.metre import DEFAULT_GRIDS, Metre, longuet_higgins_lee, parse_metre
from tests.music.faults import reads_or_says_why

METRES = st.sampled_from([parse_metre(f"{numerator}/{denominator}") for numerator, denominator in DEFAULT_GRIDS])


@pytest.mark.parametrize(
    ("text", "grid", "strong", "beats", "quarters"),
    [
        ("4/4", 16, {0, 8}, {0, 4, 8, 12}, 4),
        ("3/4", 12, {0}, {0, 4, 8}, 3),
        ("2/4", 8, {0}, {0, 4}, 2),
        ("5/4", 20, {0}, {0, 4, 8, 12, 16}, 5),
        ("6/8", 12, {0, 6}, {0, 6}, 3),
        ("7/8", 14, {0}, {0, 2, 4, 6, 8, 10, 12}, Fraction(7, 2)),
        ("12/8", 24, {0, 6, 12, 18}, {0, 6, 12, 18}, 6),
    ],
)
def test_default_grids_strong_slots_and_beats(
    text: str, grid: int, strong: set[int], beats: set[int], quarters: Fraction
) -> None:
    metre = parse_metre(text)
    assert (metre.name, metre.grid, metre.quarters_per_bar) == (text, grid, quarters)
    assert metre.strong == strong
    assert metre.beats == beats
    assert metre.ticks_per_slot == 120


@pytest.mark.parametrize(
    ("text", "grid", "weights"),
    [
        ("4/4", 12, (0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3)),
        ("4/4", 4, (0, -2, -1, -2)),
        ("3/4", 6, (0, -2, -1, -2, -1, -2)),
        ("6/8", 6, (0, -2, -2, -1, -2, -2)),
        ("5/4", 10, (0, -2, -1, -2, -1, -2, -1, -2, -1, -2)),
        ("7/8", 7, (0, -1, -1, -1, -1, -1, -1)),
        ("12/8", 12, (0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3)),
    ],
)
def test_weights_follow_the_tree_of_the_metre(text: str, grid: int, weights: tuple[int, ...]) -> None:
    assert parse_metre(text, grid).weights == weights


@given(METRES, st.integers(1, 200))
def test_a_grid_fits_or_the_error_lists_those_that_do(metre: Metre, grid: int) -> None:
    ticks = metre.quarters_per_bar * 480
    fits = grid % metre.numerator == 0 and ticks % grid == 0 and ticks / grid >= 20
    try:
        found = parse_metre(metre.name, grid)
    except Fault as fault:
        assert not fits
        offered = [int(word) for word in fault.right.removeprefix("use one of ").split(", ")]
        assert all(parse_metre(metre.name, other).grid == other for other in offered)
    else:
        assert fits
        assert found.ticks_per_slot * grid == ticks
        assert found.strong <= found.beats
        assert all(0 <= slot < grid for slot in found.beats)


@given(METRES, st.integers(0, 500))
def test_a_level_repeats_each_bar_and_only_bars_start_at_level_nought(metre: Metre, slot: int) -> None:
    assert metre.level(slot) == metre.level(slot + metre.grid) == -metre.weights[slot % metre.grid]
    assert (metre.level(slot) == 0) == (slot % metre.grid == 0)
    bar, beat = metre.bar_and_beat(slot)
    assert (bar - 1) * metre.grid + (beat - 1) * metre.slots_per_beat == slot


def test_beats_count_in_the_notes_of_the_denominator() -> None:
    assert parse_metre("6/8").bar_and_beat(12 + 6) == (2, 4.0)
    assert parse_metre("4/4").bar_and_beat(6) == (1, 2.5)


@given(METRES, st.sets(st.integers(0, 27), min_size=1), st.integers(1, 3))
def test_syncopation_is_never_negative_and_repeats_add_up(metre: Metre, onsets: set[int], times: int) -> None:
    within = sorted(onset for onset in onsets if onset < metre.grid) or [0]
    once = longuet_higgins_lee(within, metre)
    again = [onset + bar * metre.grid for bar in range(times) for onset in within]
    assert once >= 0
    assert longuet_higgins_lee(again, metre, times) == times * once


def test_syncopation_at_the_edges() -> None:
    metre = parse_metre("4/4")
    assert longuet_higgins_lee([], metre) == 0
    assert longuet_higgins_lee([0], metre) == 0
    assert longuet_higgins_lee([15], metre) == 4  # held over the next bar's start
    assert longuet_higgins_lee([0, 15], metre) == 0
    assert longuet_higgins_lee(range(16), metre) == 0


@pytest.mark.parametrize(
    ("text", "grid", "hint"),
    [
        ("4", None, "2/4, 3/4, 4/4"),
        ("9/8", None, "6/8, 7/8, 12/8"),
        ("4/0", None, "use one of"),
        ("", None, 'like "4/4"'),
        ("4/4", 0, "use one of 4, 8, 12, 16, 20, 24"),
        ("4/4", -4, "use one of"),
        ("3/4", 16, "use one of 3, 6, 9, 12"),
        ("7/8", 16, "use one of 7, 14"),
    ],
)
def test_a_metre_that_cannot_be_read_says_what_would_be_right(text: str, grid: int | None, hint: str) -> None:
    with pytest.raises(ValueError, match=hint):
        parse_metre(text, grid)


@given(st.text(max_size=60))
def test_any_text_is_a_metre_or_one_clear_line(text: str) -> None:
    assert reads_or_says_why(parse_metre, text, longest=250)
