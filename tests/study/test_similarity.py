"""Shared runs and nearest passages: transposition hides nothing, plain runs do not count, lines are loops."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.arrangement import Note
from solver.avoided import LoopLine, Move, loop_line
from solver.study.similarity import SharedRun, edit_distance, is_plain, nearest_passage, shared_runs

UNTIMED = settings(deadline=None)
SIXTEENTH = Fraction(1, 4)
SLOTS = 32
TUNE = ((0, 71), (3, 74), (6, 78), (10, 76), (12, 74), (18, 78), (22, 75), (26, 69), (29, 66), (30, 67))


def line(events: tuple[tuple[int, int], ...], up: int = 0, later: int = 0, slots: int = SLOTS) -> LoopLine:
    notes = tuple(Note("x", (onset + later) % slots, 1, pitch + up) for onset, pitch in events)
    made = loop_line("x", notes, slots, SIXTEENTH)
    assert made is not None
    return made


def longest(one: LoopLine, other: LoopLine) -> int:
    return max((run.moves for run in shared_runs(one, other)), default=0)


moves = st.builds(Move, st.integers(-4, 4), st.integers(1, 3).map(Fraction))
loops = st.lists(moves, min_size=2, max_size=14).map(
    # The last move of a loop leads back to its first pitch.
    lambda found: LoopLine("x", Fraction(0), (*found, Move(-sum(move.interval for move in found), Fraction(1))))
)


def test_moves_go_round_the_loop() -> None:
    assert line(TUNE[:3]).moves == (
        Move(3, Fraction(3, 4)),
        Move(4, Fraction(3, 4)),
        Move(-7, Fraction(26, 4)),
    )
    assert loop_line("x", (Note("x", 0, 4, 60), Note("x", 0, 4, 64)), SLOTS, SIXTEENTH) is None


def test_the_top_note_of_a_stroke_counts() -> None:
    notes = (Note("x", 0, 2, 60), Note("x", 0, 2, 67), Note("x", 2, 2, 64))
    made = loop_line("x", notes, 16, SIXTEENTH)
    assert made is not None
    assert [move.interval for move in made.moves] == [-3, 3]


@pytest.mark.parametrize(("up", "later"), [(0, 0), (5, 0), (-7, 16), (12, 3)])
def test_transposed_and_moved_it_is_the_same_tune(up: int, later: int) -> None:
    other = line(TUNE, up, later)
    assert longest(line(TUNE), other) == len(TUNE)
    passage = nearest_passage(line(TUNE), other)
    assert passage is not None
    assert (passage.edits, passage.similarity) == (0, 1)


def test_another_rhythm_is_another_tune() -> None:
    slower = line(tuple((2 * onset, pitch) for onset, pitch in TUNE), slots=2 * SLOTS)
    assert list(shared_runs(line(TUNE), slower)) == []
    passage = nearest_passage(line(TUNE), slower)
    assert passage is not None
    assert passage.similarity < 0.2


def test_where_the_shared_run_lies() -> None:
    other = line(((1, 50), *((onset + 40, pitch - 5) for onset, pitch in TUNE[:5]), (61, 70)), slots=64)
    assert [(run.moves, run.first, run.second) for run in shared_runs(line(TUNE), other)] == [(4, 0, 1)]


def test_a_run_goes_over_the_seam() -> None:
    """Five strokes before the bar line and five after it, in a loop that begins elsewhere."""
    over = line(((0, 40), (2, 47), (5, 41), *((onset + 6, pitch) for onset, pitch in TUNE[2:7])), slots=48)
    turned = line(((0, 40), (2, 47), (5, 41), *((onset + 6, pitch) for onset, pitch in TUNE[2:7])), later=30, slots=48)
    assert longest(over, turned) == 8
    assert longest(line(TUNE, later=14), over) == 4


def test_a_loop_that_goes_round_is_told_once_for_each_place() -> None:
    riff = ((0, 60), (2, 61), (4, 66), (6, 62))
    twice = line((*riff, *((onset + 8, pitch) for onset, pitch in riff)), slots=16)
    assert list(shared_runs(twice, line(riff, slots=8))) == [SharedRun(8, 0, 0)]


@pytest.mark.parametrize(
    ("intervals", "plain"),
    [
        ([0, 0, 0, 0, 0, 0, 0], True),
        ([2, -2, 2, -2], True),
        ([4, 3, 5, -5, -3], True),  # a major triad, broken
        ([3, 4, 3, -3], True),  # a minor seventh chord
        ([2, 1, 4, -7], False),
        ([2, 2, 3], False),  # a tone beside the triad
    ],
)
def test_plain_runs(intervals: list[int], plain: bool) -> None:
    assert is_plain(intervals) is plain


def test_plain_runs_do_not_count() -> None:
    pedal = line(((0, 60), (2, 60), (4, 60), (6, 60), (8, 60), (10, 62), (12, 60)))
    assert list(shared_runs(pedal, pedal)) == []
    assert nearest_passage(pedal, pedal) is None


def test_a_changed_note_costs_two_moves() -> None:
    """Eight moves, of which the two around the changed stroke are substituted: Levenshtein 1966."""
    changed = line(tuple((onset, pitch + (onset == 12)) for onset, pitch in TUNE[:9]), slots=200)
    original = line(TUNE[:9], slots=100)
    passage = nearest_passage(original, changed)
    assert passage is not None
    assert longest(original, changed) == 3
    assert (passage.moves, passage.edits, passage.similarity) == (8, 2, 0.75)
    assert (passage.first, passage.second, passage.last) == (0, 0, 8)


def test_the_distance_of_words_is_the_textbook_one() -> None:
    """Wagner and Fischer 1974's measure on the usual textbook pair (from memory)."""
    assert edit_distance("kitten", "sitting") == 3
    assert edit_distance("", "abc") == 3


@settings(deadline=None, max_examples=20)
@given(loops, loops)
def test_the_nearest_passage_is_the_best_of_all(one: LoopLine, other: LoopLine) -> None:
    """Against every passage and every stretch, one by one."""
    size = min(8, len(one.moves))
    ours = [[one.moves[(i + k) % len(one.moves)] for k in range(size)] for i in range(len(one.moves))]
    ours = [passage for passage in ours if not is_plain([move.interval for move in passage])]
    text = [other.moves[j % len(other.moves)] for j in range(len(other.moves) + size)]
    found = nearest_passage(one, other)
    if not ours:
        assert found is None
        return
    assert found is not None
    stretches = [text[i:j] for i in range(len(text) + 1) for j in range(i, min(len(text), i + 2 * size) + 1)]
    assert found.edits == min(edit_distance(passage, stretch) for passage in ours for stretch in stretches)


@UNTIMED
@given(loops, loops)
def test_shared_runs_are_shared_and_cannot_be_drawn_out(one: LoopLine, other: LoopLine) -> None:
    for run in shared_runs(one, other):
        mine = [one.moves[(run.first + k) % len(one.moves)] for k in range(-1, run.moves + 1)]
        theirs = [other.moves[(run.second + k) % len(other.moves)] for k in range(-1, run.moves + 1)]
        assert mine[1:-1] == theirs[1:-1]
        assert not is_plain([move.interval for move in mine[1:-1]])
        assert run.moves == len(one.moves) or (mine[0] != theirs[0] and mine[-1] != theirs[-1])


@UNTIMED
@given(loops)
def test_a_line_is_nearest_to_itself(one: LoopLine) -> None:
    found = nearest_passage(one, one)
    assert found is None or found.similarity == 1
