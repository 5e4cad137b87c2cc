"""Times in quarters become bars and slots."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.study import grid
from solver.study.errors import Unreadable
from solver.study.grid import grids, loop_of
from solver.study.reference import Reference, Tone, Voice


def reference(*tones: tuple[float, float, int], metre: tuple[int, int] | None = (4, 4), end: float = 0) -> Reference:
    exact = tuple(
        sorted(Tone(Fraction(s).limit_denominator(960), Fraction(e).limit_denominator(960), p) for s, e, p in tones)
    )
    return Reference((Voice("line", exact),), 120.0, metre, None, Fraction(end or max(tone.end for tone in exact)))


def onsets(*tones: tuple[float, float, int], metre: tuple[int, int] | None = (4, 4)) -> list[tuple[int, int]]:
    return [(note.onset, note.length) for note in loop_of(reference(*tones, metre=metre)).parts[0].notes]


def test_quarters_are_four_slots() -> None:
    assert onsets((0, 1, 60), (1, 1.5, 62), (1.5, 4, 64)) == [(0, 4), (4, 2), (6, 10)]


def test_notes_played_a_little_early_or_late_move_to_the_nearest_slot() -> None:
    assert onsets((0.02, 0.98, 60), (0.97, 2.1, 62), (2.04, 3.9, 64)) == [(0, 4), (4, 4), (8, 8)]


@pytest.mark.parametrize(
    ("metre", "starts", "slots"),
    [
        ((4, 4), [0, 0.25, 0.5, 1.75], 16),
        ((4, 4), [0, 1 / 3, 2 / 3, 1], 12),
        ((4, 4), [0, 1 / 6, 1 / 3, 1], 24),
        ((4, 4), [0, 0.125, 0.25, 1], 32),
        ((3, 4), [0, 0.25, 1], 12),
        ((6, 8), [0, 0.5, 0.75], 12),
        ((5, 4), [0, 0.25], 20),
        ((7, 8), [0, 0.5, 0.75], 14),
        ((9, 8), [0, 0.5, 0.75], 18),
    ],
)
def test_the_grid_that_the_onsets_lie_on(metre: tuple[int, int], starts: list[float], slots: int) -> None:
    tones = [(start, start + 0.1, 60 + index) for index, start in enumerate(starts)]
    assert loop_of(reference(*tones, metre=metre)).metre.grid == slots


def test_no_grid_where_none_fits_better() -> None:
    """Notes that fall anywhere are read on sixteenths."""
    tones = [(0.137 * index, 0.137 * index + 0.1, 60) for index in range(20)]
    assert loop_of(reference(*tones)).metre.grid == 16


def test_silent_bars_before_the_first_note_are_left_out_and_told() -> None:
    loop = loop_of(reference((8, 9, 60), (12, 16, 62)))
    assert (loop.bars, loop.parts[0].notes[0].onset) == (2, 0)
    assert loop.remarks == ("2 silent bars before the first note are left out; bar 1 is the first that sounds.",)


def test_an_upbeat_is_a_bar() -> None:
    loop = loop_of(reference((-1, 0, 60), (0, 4, 62)))
    assert (loop.bars, [note.onset for note in loop.parts[0].notes]) == (2, [12, 16])
    assert loop.remarks == ("The upbeat is counted as bar 1.",)


@pytest.mark.parametrize(
    ("tones", "end", "bars"),
    [
        (((0, 4, 60),), 0, 1),
        (((0, 4.2, 60),), 0, 1),  # rings over the bar line
        (((0, 8, 60),), 0, 2),  # a held note fills whole bars
        (((0, 7.5, 60),), 0, 2),
        (((0, 1, 60), (24, 25, 60)), 0, 7),
        (((0, 1, 60), (24, 25, 60)), 32, 8),  # the file goes on in silence to the eighth bar
        (((0, 1, 60), (28, 29, 60)), 36, 8),  # a ninth silent bar is none
    ],
)
def test_how_many_bars(tones: tuple[tuple[float, float, int], ...], end: float, bars: int) -> None:
    assert loop_of(reference(*tones, end=end)).bars == bars


@pytest.mark.parametrize(
    ("metre", "name", "remark"),
    [
        (None, "4/4", "The file gives no metre; its bars are counted in 4/4."),
        ((2, 2), "4/4", "The metre 2/2 is counted as 4/4."),
        ((200, 64), "4/4", "The metre 200/64 makes no sense here; the bars are counted in 4/4."),
    ],
)
def test_metres_that_are_read_otherwise(metre: tuple[int, int] | None, name: str, remark: str) -> None:
    loop = loop_of(reference((0, 4, 60), metre=metre))
    assert (loop.metre.name, loop.remarks) == (name, (remark,))


def test_one_pitch_sounds_once_at_a_time() -> None:
    assert onsets((0, 4, 60), (1, 2, 60), (1, 3, 60)) == [(0, 4), (4, 8)]


def test_too_many_bars() -> None:
    with pytest.raises(Unreadable, match="the notes span 1251 bars"):
        loop_of(reference((0, 1, 60), (5000, 5001, 62)))


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0, 60), st.floats(0, 8), st.integers(0, 127)), min_size=1, max_size=20))
def test_every_note_lies_inside_the_loop(notes: list[tuple[float, float, int]]) -> None:
    loop = loop_of(reference(*[(start, start + length + 0.01, pitch) for start, length, pitch in notes]))
    for note in loop.parts[0].notes:
        assert 0 <= note.onset < note.end <= loop.slots


@pytest.mark.parametrize(
    "metre", [(1, 1), (2, 4), (4, 4), (5, 4), (6, 8), (7, 8), (9, 8), (12, 8), (3, 16), (5, 32), (32, 1)]
)
def test_grids_divide_their_bars_into_whole_beats(metre: tuple[int, int]) -> None:
    for found in grids(*metre):
        assert found.grid % metre[0] == 0
        assert found.ticks_per_slot >= 1
    assert grid.mean_miss([Fraction(0)], grids(*metre)[0]) == 0
