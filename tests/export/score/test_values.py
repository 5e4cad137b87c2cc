"""Note values: they last as long as they should, are ones that exist, and leave the beats to be seen."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.export.score.values import NAMES, Value, tuplets_in, values_of
from solver.music.metre import DEFAULT_GRIDS, Metre, parse_metre

LENGTHS = {name: length for length, name in NAMES.items()}
GRIDS = [
    parse_metre(f"{numerator}/{denominator}", grid)
    for (numerator, denominator), usual in DEFAULT_GRIDS.items()
    for grid in {usual, numerator, 3 * numerator, 5 * numerator, 6 * numerator, 12 * numerator}
    if (4 * numerator * 480 // denominator) % grid == 0
]


def quarters(value: Value) -> Fraction:
    """How long a value lasts by what is printed."""
    length = LENGTHS[value.name] * (Fraction(3, 2) if value.dots else 1)
    return length * Fraction(value.tuplet.normal, value.tuplet.actual) if value.tuplet else length


@given(st.data())
def test_values_fill_their_time_and_last_as_long_as_is_printed(data: st.DataObject) -> None:
    metre = data.draw(st.sampled_from(GRIDS))
    cuts = sorted(data.draw(st.sets(st.integers(0, metre.grid), min_size=2, max_size=6)))
    tuplets = tuplets_in(metre, cuts)
    for start, end in pairwise(cuts):
        for rest in (False, True):
            values = values_of(metre, start, end, tuplets, rest=rest)
            assert (values[0].start, values[-1].end) == (start, end)
            assert all(one.end == other.start for one, other in pairwise(values))
            for value in values:
                assert quarters(value) == (value.end - value.start) * metre.quarters_per_bar / metre.grid


@given(st.data())
def test_every_tuplet_is_filled_from_its_start_to_its_end(data: st.DataObject) -> None:
    metre = data.draw(st.sampled_from(GRIDS))
    cuts = sorted({0, metre.grid, *data.draw(st.sets(st.integers(0, metre.grid), max_size=6))})
    tuplets = tuplets_in(metre, cuts)
    written = [value for start, end in pairwise(cuts) for value in values_of(metre, start, end, tuplets)]
    for tuplet in tuplets:
        inside = [value for value in written if value.tuplet == tuplet]
        assert (inside[0].start, inside[-1].end) == (tuplet.start, tuplet.end)
        assert tuplet.normal < tuplet.actual < 2 * tuplet.normal


# How beginners' books of notation write them (common practice, no source).
@pytest.mark.parametrize(
    ("meter", "start", "end", "expected"),
    [
        ("4/4", 0, 16, "whole"),
        ("4/4", 0, 12, "half."),
        ("4/4", 4, 16, "quarter half"),
        ("4/4", 4, 12, "half"),
        ("4/4", 0, 10, "half eighth"),
        ("4/4", 2, 6, "quarter"),
        ("4/4", 6, 10, "eighth eighth"),
        ("4/4", 2, 8, "eighth quarter"),
        ("4/4", 1, 4, "eighth."),
        ("4/4", 3, 5, "16th 16th"),
        ("4/4", 0, 7, "quarter eighth."),
        ("3/4", 4, 12, "half"),
        ("3/4", 0, 12, "half."),
        ("3/4", 2, 6, "quarter"),
        ("6/8", 0, 12, "half."),
        ("6/8", 0, 8, "quarter. eighth"),
        ("6/8", 4, 8, "eighth eighth"),
        ("6/8", 2, 6, "quarter"),
        ("12/8", 0, 12, "half."),
        ("5/4", 0, 20, "whole quarter"),
        ("2/4", 2, 6, "quarter"),
    ],
)
def test_a_note_is_written_as_players_know_it(meter: str, start: int, end: int, expected: str) -> None:
    values = values_of(parse_metre(meter), start, end, ())
    assert " ".join(value.name + "." * value.dots for value in values) == expected


def test_a_rest_is_not_syncopated() -> None:
    values = values_of(parse_metre("4/4"), 2, 6, (), rest=True)
    assert [value.name for value in values] == ["eighth", "eighth"]


@pytest.mark.parametrize(
    ("grid", "cuts", "expected"),
    [
        (12, (1,), [(3, 2, "eighth")]),
        (24, (2, 4), [(3, 2, "eighth")]),
        (24, (3,), []),
        (24, (1,), [(6, 4, "16th")]),
        (20, (2,), [(5, 4, "16th")]),
        (16, (1, 3), []),
    ],
)
def test_a_beat_is_a_tuplet_only_where_its_strokes_need_one(
    grid: int, cuts: tuple[int, ...], expected: list[tuple[int, int, str]]
) -> None:
    metre: Metre = parse_metre("4/4", grid)
    assert [(tuplet.actual, tuplet.normal, tuplet.unit) for tuplet in tuplets_in(metre, cuts)] == expected
