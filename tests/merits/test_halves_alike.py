"""Bars that begin alike in both halves: counted on plain examples and, with hypothesis, against the definition."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits.halves_alike import MERIT
from solver.search.scale import scale_of
from solver.search.weights import load_weights
from tests.rules.small import heard, plan_of

BARS = 4
FOUR = plan_of("bars = 4; chord_bars = 4", lead="repeat_every = 4")
PITCHES = ("A4", "C5", "E5")
BAR = st.lists(st.sampled_from([*PITCHES, ".", "-"]), min_size=2, max_size=2)


@pytest.mark.parametrize(
    ("line", "count", "best"),
    [
        ("C5 D5 | E5 D5 | C5 G5 | E5 G5", 2, 2),
        ("C5 D5 | E5 D5 | C5 G5 | D5 G5", 1, 2),
        ("C5 D5 | E5 D5 | E5 G5 | C5 G5", 0, 2),
        ("C5 D5 | . E5 | C5 G5 | E5 G5", 1, 2),  # the first half does not begin that bar with a note
        ("C5 D5 | E5 D5 | C5 G5 | . E5", 1, 1),  # nor is a bar that begins with silence asked for
        ("C5 D5 | E5 D5 | - G5 | . E5", 0, 1),
    ],
)
def test_bars_of_the_second_half_are_held_against_those_of_the_first(line: str, count: int, best: int) -> None:
    music = heard(FOUR, lead=line)
    assert (MERIT.measure(music), MERIT.best(music)) == (count, best)


@given(st.lists(BAR, min_size=BARS, max_size=BARS))
def test_it_counts_what_it_says(bars: list[list[str]]) -> None:
    bars[0][0] = "C5"
    music = heard(FOUR, lead=" | ".join(" ".join(bar) for bar in bars))
    pairs = [(bars[bar][0], bars[bar + BARS // 2][0]) for bar in range(BARS // 2)]
    assert MERIT.measure(music) == sum(one == other and other in PITCHES for one, other in pairs)
    assert MERIT.best(music) == max(1, sum(other in PITCHES for _, other in pairs))


def test_the_first_statement_alone_is_looked_at() -> None:
    plan = plan_of("bars = 4; chord_bars = 2", lead="repeat_every = 2")
    music = heard(plan, lead="C5 D5 | C5 E5 | C5 D5 | C5 G5")
    assert (MERIT.measure(music), MERIT.best(music)) == (1, 1)


@pytest.mark.parametrize(
    "plan",
    [
        plan_of("bars = 3; chord_bars = 3", lead="repeat_every = 3"),
        plan_of("bars = 4", lead="repeat_every = 1"),
        plan_of("bars = 4; chord_bars = 4", low=""),
    ],
)
def test_it_is_left_out_where_no_lead_has_halves(plan: Plan) -> None:
    assert not MERIT.applies(plan)


def test_of_two_leads_the_one_with_halves_counts() -> None:
    plan = plan_of("bars = 6; chord_bars = 6", lead="repeat_every = 6", other='role = "lead"; repeat_every = 3')
    music = heard(
        plan,
        lead="C5 | D5 | E5 | C5 | G5 | E5",
        other="C4 | D4 | C4 | C4 | D4 | C4",
    )
    assert (MERIT.measure(music), MERIT.best(music)) == (2, 3)


def test_a_rhythm_without_any_such_bar_has_no_points() -> None:
    music = heard(FOUR, lead="C5 D5 | E5 D5 | - G5 | . E5")
    (mark,) = (mark for mark in scale_of(FOUR, music, load_weights()).marks(music) if mark.merit == MERIT.name)
    assert mark.points == 0
    assert mark.sentence == "no bar of the second half of the lead's statement begins with a note"


def test_it_says_how_many() -> None:
    music: Heard = heard(FOUR, lead="C5 D5 | E5 D5 | C5 G5 | D5 G5")
    said = "1 of 2 bars of the second half of the lead's statement begin as those of the first half do"
    assert MERIT.sentence(music) == said
