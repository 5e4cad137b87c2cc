"""Locks as words and as held notes."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.arrangement import Arrangement
from solver.brief.planning import plan_from_text
from solver.locks import ASPECTS, Lock, LockFaults, held_notes, parse_lock
from solver.music.faults import Fault
from tests.rules.small import notes_of, plan_of

NAMES = st.from_regex(r"[A-Za-z0-9_-](?:[A-Za-z0-9 _-]{0,20}[A-Za-z0-9_-])?", fullmatch=True)
BARS = st.none() | st.tuples(st.integers(1, 99), st.integers(1, 99)).map(lambda pair: (min(pair), max(pair)))
TWO_BARS = plan_of("bars = 2; grid = 4", lead='range = "C4..C6"', low='range = "E2..E3"')
NOTES = Arrangement(
    notes_of(TWO_BARS, "lead", "C5 - E5 . | G5 . . C5") + notes_of(TWO_BARS, "low", "E3 - - - | . . . .")
)


@given(st.builds(Lock, NAMES, BARS, st.sampled_from(ASPECTS)))
def test_words_and_back(lock: Lock) -> None:
    assert parse_lock(str(lock)) == lock


@given(st.text())
def test_whatever_the_words_the_outcome_is_a_lock_or_one_line(text: str) -> None:
    outcome: Lock | str
    try:
        outcome = parse_lock(text)
    except Fault as fault:
        outcome = str(fault)
    assert "\n" not in str(outcome)
    assert isinstance(outcome, str) or parse_lock(str(outcome)) == outcome


@pytest.mark.parametrize(
    ("text", "lock"),
    [
        ("lead", Lock("lead")),
        ("low:1-4", Lock("low", (1, 4))),
        ("low:8", Lock("low", (8, 8))),
        ("lead:rhythm", Lock("lead", None, "rhythm")),
        ("lead:5-8:pitch", Lock("lead", (5, 8), "pitch")),
    ],
)
def test_the_ways_to_write_one(text: str, lock: Lock) -> None:
    assert parse_lock(text) == lock
    assert str(lock) == text


@pytest.mark.parametrize("text", ["", ":", "lead:", "lead:0", "lead:4-2", "lead:1-", "lead:loud", "lead:pitch:1"])
def test_what_is_no_lock(text: str) -> None:
    with pytest.raises(Fault):
        parse_lock(text)


@pytest.mark.parametrize(
    ("lock", "start", "end", "onsets"),
    [("lead", 0, 8, [0, 2, 4, 7]), ("lead:2", 4, 8, [4, 7]), ("lead:1-2:rhythm", 0, 8, [0, 2, 4, 7])],
)
def test_what_is_held(lock: str, start: int, end: int, onsets: list[int]) -> None:
    (held,) = held_notes([lock], TWO_BARS, NOTES, TWO_BARS)
    assert (held.part, held.start, held.end, held.words) == ("lead", start, end, f"lock {lock}")
    assert [note.onset for note in held.notes] == onsets


@pytest.mark.parametrize(
    ("lock", "part_of_line"),
    [("leed", "did you mean lead?"), ("lead:3", "the loop has 2"), ("low:2", "starts no note")],
)
def test_what_cannot_be_locked(lock: str, part_of_line: str) -> None:
    with pytest.raises(LockFaults, match=part_of_line):
        held_notes([lock], TWO_BARS, NOTES, TWO_BARS)


def test_all_that_is_wrong_is_told_at_once_and_the_same_once() -> None:
    with pytest.raises(LockFaults) as caught:
        held_notes(["leed", "lead", "low:1-x", "lead:3", "leed:rhythm"], TWO_BARS, NOTES, TWO_BARS)
    wrong = [fault.wrong for fault in caught.value.faults]
    assert wrong == [
        'there is no part "leed" to lock',
        '"low:1-x" is no lock',
        'the lock "lead:3" reaches bar 3, the loop has 2',
    ]
    assert str(caught.value).count("\n") == 2


def brief(**keys: Any) -> str:
    lines = {"key": '"C major"', "bars": 2, "chords": '["C"]', "grid": 4} | keys
    return "\n".join(f"{key} = {value}" for key, value in lines.items()) + "\n[parts.lead]"


def test_a_finer_grid_keeps_the_times_and_a_coarser_one_says_so() -> None:
    before = plan_from_text(brief(), "b")
    (held,) = held_notes(["lead"], before, NOTES, plan_from_text(brief(grid=8), "b"))
    assert [(note.onset, note.length) for note in held.notes] == [(0, 4), (4, 2), (8, 2), (14, 2)]
    assert (held.start, held.end) == (0, 16)
    with pytest.raises(LockFaults, match="fall between"):
        held_notes(["lead"], plan_from_text(brief(grid=16), "b"), NOTES, plan_from_text(brief(grid=12), "b"))


def test_another_metre_and_fewer_bars_are_refused() -> None:
    before = plan_from_text(brief(), "b")
    with pytest.raises(LockFaults, match="keep meter"):
        held_notes(["lead"], before, NOTES, plan_from_text(brief(meter='"3/4"', grid=3), "b"))
    with pytest.raises(LockFaults, match="the loop has 1"):
        held_notes(["lead"], before, NOTES, plan_from_text(brief(bars=1), "b"))


def test_a_longer_loop_holds_what_there_was() -> None:
    (held,) = held_notes(["lead"], plan_from_text(brief(), "b"), NOTES, plan_from_text(brief(bars=4), "b"))
    assert (held.start, held.end) == (0, 8)
