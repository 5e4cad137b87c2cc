"""Shared runs and the similarity figure: transposition hides nothing, plain runs do not count."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.arrangement import Note
from solver.study.similarity import (
    Line,
    Move,
    edit_distance,
    is_plain,
    line_of,
    longest_shared_run,
    same_rhythm_and_contour,
    similarity,
)

UNTIMED = settings(deadline=None)
SIXTEENTH = Fraction(1, 4)
TUNE = ((0, 71), (3, 74), (6, 78), (10, 76), (12, 74), (18, 78), (22, 74))


def line(events: tuple[tuple[int, int], ...], up: int = 0, later: int = 0) -> Line:
    return line_of([Note("x", onset + later, 1, pitch + up) for onset, pitch in events], SIXTEENTH)


lines = st.lists(st.tuples(st.integers(1, 4), st.integers(55, 70)), max_size=14).map(
    lambda steps: line(tuple((sum(gap for gap, _ in steps[: i + 1]), pitch) for i, (_, pitch) in enumerate(steps)))
)


def test_moves_are_intervals_with_their_rhythm() -> None:
    assert line(TUNE[:3]).moves == (Move(3, Fraction(3, 4)), Move(4, Fraction(3, 4)))
    assert line(TUNE[:1]).moves == ()
    assert line(()).moves == ()


def test_the_top_note_of_a_stroke_counts() -> None:
    notes = [Note("x", 0, 2, 60), Note("x", 0, 2, 67), Note("x", 2, 2, 64)]
    assert line_of(notes, SIXTEENTH) == Line((Fraction(0), Fraction(1, 2)), (67, 64))


@pytest.mark.parametrize(("up", "later"), [(0, 0), (5, 0), (-7, 16), (12, 3)])
def test_transposed_and_moved_it_is_the_same_tune(up: int, later: int) -> None:
    other = line(TUNE, up, later)
    run = longest_shared_run(line(TUNE), other)
    assert (run.moves, run.first, run.second) == (6, 0, 0)
    assert similarity(line(TUNE), other) == 1
    assert same_rhythm_and_contour(line(TUNE), other)


def test_another_rhythm_is_another_tune() -> None:
    slower = line(tuple((2 * onset, pitch) for onset, pitch in TUNE))
    assert longest_shared_run(line(TUNE), slower).moves == 0
    assert similarity(line(TUNE), slower) == 0
    assert not same_rhythm_and_contour(line(TUNE), slower)


def test_a_run_inside_is_found_where_it_is() -> None:
    other = line(((0, 60), (1, 61), *((onset + 5, pitch - 3) for onset, pitch in TUNE[1:5]), (40, 50)))
    run = longest_shared_run(line(TUNE), other)
    assert (run.moves, run.first, run.second) == (3, 1, 2)


@pytest.mark.parametrize(
    ("pitches", "plain"),
    [
        ((60, 60, 60, 60, 60, 60), True),
        ((60, 62, 60, 62, 60, 62), True),  # a shake
        ((60, 64, 67, 72, 67, 64), True),  # C
        ((64, 67, 71, 74, 71, 67), True),  # Em7
        ((60, 64, 67, 69, 67, 64), True),  # C6, which is Am7
        ((60, 62, 64, 65, 67), False),
        ((71, 74, 78, 76, 74, 78), False),
    ],
)
def test_plain_runs(pitches: tuple[int, ...], plain: bool) -> None:
    assert is_plain(pitches) == plain


def test_repeated_notes_and_chords_are_not_shared() -> None:
    repeated = line(tuple((2 * i, 64) for i in range(10)))
    chord = line(tuple((2 * i, (60, 64, 67)[i % 3]) for i in range(12)))
    assert longest_shared_run(repeated, repeated).moves == 0
    assert longest_shared_run(chord, chord).moves == 0
    # One note that is not of the chord makes the run somebody's own.
    own = line((*((2 * i, (60, 64, 67)[i % 3]) for i in range(6)), (12, 69), (14, 65)))
    assert longest_shared_run(own, own).moves == 7


@pytest.mark.parametrize(
    ("one", "other", "distance"),
    [("kitten", "sitting", 3), ("saturday", "sunday", 3), ("", "abc", 3), ("abc", "abc", 0), ("ab", "ba", 2)],
)
def test_edit_distance_of_textbook_words(one: str, other: str, distance: int) -> None:
    """The usual examples of the Levenshtein distance; common practice, no source."""
    assert edit_distance(one, other) == distance


def test_similarity_counts_edits_against_the_longer_line() -> None:
    changed = line((*TUNE[:6], (22, 73)))
    assert similarity(line(TUNE), changed) == pytest.approx(1 - 1 / 6)
    assert similarity(line(TUNE), line(TUNE[:4])) == pytest.approx(1 - 3 / 6)
    assert similarity(line(TUNE[:1]), line(TUNE[:1])) == 0


def test_contour_needs_every_direction() -> None:
    other = line((*TUNE[:6], (22, 80)))
    assert not same_rhythm_and_contour(line(TUNE), other)
    wider = line((*TUNE[:6], (22, 70)))
    assert same_rhythm_and_contour(line(TUNE), wider)
    assert not same_rhythm_and_contour(line(TUNE[:1]), line(TUNE[:1]))


@UNTIMED
@given(lines, lines)
def test_symmetric_and_in_bounds(one: Line, other: Line) -> None:
    assert similarity(one, other) == similarity(other, one)
    assert 0 <= similarity(one, other) <= 1
    run = longest_shared_run(one, other)
    assert run.moves == longest_shared_run(other, one).moves
    assert one.moves[run.first : run.first + run.moves] == other.moves[run.second : run.second + run.moves]
    if run.moves:
        assert not is_plain(one.pitches[run.first : run.first + run.moves + 1])


@UNTIMED
@given(lines, lines, st.integers(-12, 12))
def test_transposition_changes_nothing(one: Line, other: Line, up: int) -> None:
    moved = Line(other.onsets, tuple(pitch + up for pitch in other.pitches))
    assert similarity(one, moved) == similarity(one, other)
    assert longest_shared_run(one, moved) == longest_shared_run(one, other)


@UNTIMED
@given(lines, lines)
def test_the_longest_run_against_plain_search(one: Line, other: Line) -> None:
    """Every pair of stretches compared one by one."""
    longest = 0
    for i in range(len(one.moves)):
        for j in range(len(other.moves)):
            size = 0
            while (
                i + size < len(one.moves)
                and j + size < len(other.moves)
                and one.moves[i + size] == other.moves[j + size]
            ):
                size += 1
                if not is_plain(one.pitches[i : i + size + 1]):
                    longest = max(longest, size)
    assert longest_shared_run(one, other).moves == longest
