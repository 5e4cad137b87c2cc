"""What ``[feel]`` comes to."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.brief.feel import DRAG, GRID, LARGEST_SWING, PLAYED, Feel, swing_at
from solver.brief.planning import plan_from_text
from solver.music.metre import parse_metre
from tests.brief.texts import GOOD


def feel_from(*lines: str, top: str = "") -> Feel:
    return plan_from_text("\n".join((top, GOOD, "[feel]", *lines, "")), "pier").feel


def test_a_brief_that_says_nothing_is_played() -> None:
    feel = plan_from_text(GOOD, "pier").feel
    assert feel == PLAYED
    assert not feel.asked
    assert feel.swing == 1
    assert feel.spread > 0


def test_none_is_the_grid_as_it_is() -> None:
    feel = plan_from_text(f'feel = "none"\n{GOOD}', "pier").feel
    assert feel == GRID
    assert (feel.drag, feel.spread, feel.touch, feel.strum, feel.phrase) == ({}, 0, 0, 0, 0)
    assert feel.accent == 1  # velocities by metrical weight stay


def test_what_the_table_leaves_out_keeps_its_default() -> None:
    feel = feel_from("swing = 1.5", "drag = { low = -4 }")
    assert (feel.swing, feel.pair, feel.spread) == (1.5, Fraction(1), PLAYED.spread)
    assert feel.drag == {**DRAG, "low": -4.0}
    assert feel.asked


def test_sixteenths_swing_in_metres_counted_in_eighths() -> None:
    assert feel_from("swing = 2", top='meter = "6/8"').pair == Fraction(1, 2)
    assert feel_from("swing = 2", 'swing_on = "16ths"').pair == Fraction(1, 2)


def test_the_order_of_tables_does_not_matter() -> None:
    text = GOOD.replace("[parts.lead]", '[feel]\nswing = "by tempo"\n\n[parts.lead]')
    assert plan_from_text(f"tempo = 200\n{text}", "pier").feel.swing == pytest.approx(2.0)


# Friberg and Sundström 1997, TMH-QPSR 38(4), abstract: as high as 3.5:1 around 120 a minute, evenly when fast; the
# short note lasts about 100 ms at medium and fast tempi.
def test_swing_by_tempo_has_the_published_values() -> None:
    metre = parse_metre("4/4")
    assert swing_at(120, metre) == LARGEST_SWING == 3.5
    assert swing_at(300, metre) == 1.0
    for tempo in (140, 170, 200, 240, 280):
        ratio = swing_at(tempo, metre)
        assert 60 / tempo / (1 + ratio) == pytest.approx(0.1)


@given(st.floats(30, 300), st.floats(30, 300))
def test_faster_never_swings_more(one: float, other: float) -> None:
    metre = parse_metre("4/4")
    slow, fast = sorted((one, other))
    assert swing_at(slow, metre) >= swing_at(fast, metre) >= 1
