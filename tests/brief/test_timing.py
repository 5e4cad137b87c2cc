"""Chord spans, passes and repeats: the defaults that other programs rely on."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.brief.timing import default_chord_bars, default_repeat

CHORDS = ["Am", "F", "C", "G", "Dm", "Em"]


def plan(bars: int, chords: int, more: str = "", lead: str = "") -> Plan:
    names = str(CHORDS[:chords]).replace("'", '"')
    text = f'key = "A minor"\nbars = {bars}\nchords = {names}\n{more}\n[parts.lead]\n{lead}\n[parts.low]\n'
    return plan_from_text(text, "pier")


def lengths(plan: Plan) -> list[float]:
    return [(span.end - span.start) / plan.metre.grid for span in plan.spans]


@pytest.mark.parametrize(
    ("chords", "bars", "expected"),
    [
        (2, 16, 4),
        (2, 8, 2),
        (2, 4, 1),
        (2, 2, 1),  # passes once: bars / number of chords
        (2, 1, Fraction(1, 2)),
        (4, 8, 1),
        (4, 4, 1),
        (4, 32, 4),
        (4, 16, 2),
        (4, 6, Fraction(3, 2)),
        (3, 12, 2),
        (3, 6, 1),
        (3, 24, 4),
        (2, 6, 1),
        (2, 3, Fraction(3, 2)),
        (2, 12, 2),
        (3, 8, Fraction(8, 3)),
    ],
)
def test_default_chord_bars(chords: int, bars: int, expected: Fraction) -> None:
    assert default_chord_bars(chords, bars) == expected


@pytest.mark.parametrize(
    ("bars", "unit", "expected"),
    [
        (8, 4, 4),
        (16, 4, 8),
        (16, 8, 8),
        (32, 8, 8),
        (8, 8, None),
        (8, 2, 4),
        (8, 1, 4),
        (12, 4, 4),
        (12, 6, 6),
        (12, 1, 6),
        (4, 2, 2),
        (4, 1, 2),
        (3, 1, None),
        (2, 1, None),
        (1, 1, None),
        (14, 1, 7),
        (9, Fraction(3, 2), 3),
        (9, Fraction(9, 2), None),  # a statement is whole bars
        (32, 16, None),
        (4, Fraction(1, 2), 2),
    ],
)
def test_default_repeat(bars: int, unit: Fraction, expected: int | None) -> None:
    assert default_repeat(bars, Fraction(unit)) == expected


def test_spans_of_ferry_lights() -> None:
    spans = plan(8, 2).spans
    assert [(span.index, span.pass_index, span.start, span.end) for span in spans] == [
        (0, 0, 0, 32),
        (1, 0, 32, 64),
        (2, 1, 64, 96),
        (3, 1, 96, 128),
    ]
    assert [span.chord.symbol for span in spans] == ["Am", "F", "Am", "F"]


def test_uneven_half_and_third_bars() -> None:
    assert lengths(plan(8, 2, "chord_bars = [3, 1]")) == [3, 1, 3, 1]
    assert lengths(plan(2, 2, "chord_bars = 0.5")) == [0.5, 0.5, 0.5, 0.5]
    assert lengths(plan(2, 3, 'chord_bars = 0.33\nmeter = "3/4"')) == pytest.approx([1 / 3] * 6)
    assert lengths(plan(8, 2, "chord_bars = [2.5, 1.5]")) == [2.5, 1.5, 2.5, 1.5]


def test_a_list_with_its_own_lengths_is_cut_off_at_the_end_of_the_loop() -> None:
    made = plan(8, 3, "chord_bars = 2")
    assert lengths(made) == [2, 2, 2, 2]
    assert [span.chord.symbol for span in made.spans] == ["Am", "F", "C", "Am"]
    assert [span.pass_index for span in made.spans] == [0, 0, 0, 1]
    assert made.part("lead").repeat_every is None


def test_a_single_chord_lasts_a_statement_of_the_lead() -> None:
    assert lengths(plan(8, 1)) == [4, 4]
    assert lengths(plan(8, 1, lead="repeat_every = 2")) == [2, 2, 2, 2]
    assert lengths(plan(8, 1, lead="repeat_every = 8")) == [8]
    assert lengths(plan(3, 1)) == [3]
    assert plan(3, 1).part("lead").repeat_every is None


def test_a_single_chord_with_a_length_of_its_own_leaves_the_repeat_alone() -> None:
    made = plan(8, 1, "chord_bars = 8")
    assert lengths(made) == [8]
    assert made.part("lead").repeat_every == 4


def test_repeats() -> None:
    assert plan(8, 2).part("lead").repeat_every == 4
    assert plan(8, 2).part("low").repeat_every is None
    assert plan(16, 2).part("lead").repeat_every == 8
    assert plan(8, 2, lead="repeat_every = 2").part("lead").repeat_every == 2
    assert plan(8, 2, lead="repeat_every = 1").part("lead").repeat_every == 1
    assert plan(8, 2, lead="repeat_every = 8").part("lead").repeat_every is None


@given(
    st.integers(1, 32),
    st.integers(1, 6),
    st.sampled_from(["4/4", "3/4", "5/4", "6/8", "7/8", "12/8", "2/4"]),
    st.none() | st.sampled_from([0.5, 1, 2, 4]),
)
@settings(deadline=None)
def test_spans_tile_the_loop_and_statements_divide_it(
    bars: int, chords: int, meter: str, chord_bars: float | None
) -> None:
    grid = {"4/4": 16, "3/4": 12, "5/4": 20, "6/8": 12, "7/8": 14, "12/8": 24, "2/4": 8}[meter]
    assume(chord_bars is not None or chords == 1 or bars * grid % chords == 0)
    assume(chord_bars is None or chord_bars * chords <= bars)
    given_length = "" if chord_bars is None else f"chord_bars = {chord_bars}"
    made = plan(bars, chords, f'meter = "{meter}"\n{given_length}')
    assert made.spans[0].start == 0
    assert made.spans[-1].end == made.slots == bars * grid
    assert all(left.end == right.start for left, right in zip(made.spans, made.spans[1:], strict=False))
    assert [span.index for span in made.spans] == list(range(len(made.spans)))
    assert [span.pass_index for span in made.spans] == [index // chords for index in range(len(made.spans))]
    repeat = made.part("lead").repeat_every
    assert repeat is None or (bars % repeat == 0 and 2 <= repeat <= 8 and bars >= 2 * repeat)
    if chord_bars is None and chords > 1:
        first = made.spans[:chords]
        assert len({span.end - span.start for span in first}) == 1
        assert made.slots % first[-1].end == 0
