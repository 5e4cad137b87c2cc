"""Reworking: what is locked stays, what is not is solved anew under all rules and differs."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import pytest

from solver.check import breaches
from solver.held import Held
from solver.music.pitch import note_name
from solver.rework import NothingLeft, Wish, from_take, prepare, rework
from solver.search.variety import LEAST, distance
from solver.take import TakeError, list_takes, read_take
from tests.rework_briefs import NAME, TEXT, first, origin, reworked

LOCKS = (
    ("lead",),
    ("low:1-2",),
    ("lead:3",),
    ("lead:4", "middle"),
    ("lead:rhythm", "low:2:rhythm"),
    ("lead:pitch",),
    ("low:2-3:pitch", "middle:1"),
    ("lead", "low:1-3", "middle:rhythm"),
)


def kept(held: Held, notes: tuple) -> bool:
    """Whether what is held is there, note for note."""
    inside = [note for note in notes if held.start <= note.onset < held.end]
    if held.aspect == "pitch":
        return [note.pitch for note in inside] == [note.pitch for note in held.notes]
    if held.aspect == "rhythm":
        return [(note.onset, note.length) for note in inside] == [(note.onset, note.length) for note in held.notes]
    return inside == list(held.notes)


@pytest.mark.parametrize("locks", LOCKS, ids=" ".join)
def test_what_is_locked_stays_and_the_rest_differs(locks: tuple[str, ...]) -> None:
    job, found = reworked(*locks, count=2 if len(locks) > 2 else 1)
    assert found
    for ranked in found:
        assert all(kept(held, ranked.arrangement.part(held.part)) for held in job.plan.held)
        assert breaches(job.plan, ranked.arrangement) == []
        assert ranked.excused == ()
    for one, other in itertools.combinations([first(), *(ranked.arrangement for ranked in found)], 2):
        assert distance(job.plan, one, other) >= LEAST - 1e-9


def test_the_same_wish_finds_the_same() -> None:
    assert reworked("lead", "low:2")[1] == reworked("lead", "low:2")[1]


def test_a_change_of_the_brief_holds_for_what_is_solved() -> None:
    job, found = reworked("lead", changes=("parts.low.notes_per_bar = [4, 5]",), count=1)
    for ranked in found:
        assert ranked.arrangement.part("lead") == first().part("lead")
        assert breaches(job.plan, ranked.arrangement) == []
        assert len(ranked.arrangement.part("low")) >= 16
    assert "[4, 5]" in job.header.brief_text
    assert job.header.changes == ("parts.low.notes_per_bar = [4, 5]",)


def test_nothing_is_left_where_all_is_locked() -> None:
    with pytest.raises(NothingLeft, match="nothing is left to solve"):
        prepare(origin(), Wish(("lead", "low", "middle:1-2", "middle:3-4")))


def test_a_take_stores_its_brief_its_parent_and_its_locks(tmp_path: Path) -> None:
    job = prepare(origin(), Wish(("lead", "middle"), ("tempo = 90",), count=1))
    done = rework(replace(job, seconds=None), tmp_path / NAME)
    assert done.folder is not None
    take = read_take(done.folder)
    assert take.header.parent == origin().parent
    assert take.header.locks == ("lead", "middle")
    assert take.header.brief_text == TEXT.replace("count = 1\n", "count = 1\ntempo = 90\n")
    assert list_takes(tmp_path / NAME) == [done.folder]
    assert from_take(take, 1).arrangement == done.outcome.arrangements[0].arrangement
    with pytest.raises(TakeError, match="no arrangement 2; write 1"):
        from_take(take, 2)


def test_what_sets_an_arrangement_apart_is_not_what_is_locked() -> None:
    _, found = reworked("lead", "low:1-2")
    (ranked,) = found
    assert "lead" not in ranked.summary
    second_pass = [note for note in ranked.arrangement.part("low") if note.onset >= 16]
    assert note_name(second_pass[0].pitch) in ranked.summary
