"""The pool: as many arrangements as asked for, apart from one another, the same on any number of cores."""

from __future__ import annotations

import threading
from itertools import pairwise

import pytest

from solver.arrangement import Ranked
from solver.brief.planning import plan_from_text
from solver.check import breaches
from solver.search.outcome import NoArrangement, Outcome
from solver.search.pool import arrange
from solver.search.variety import is_apart
from tests.rules.small import plan_of

BRIEF = """
key = "C major"
bars = 2
chords = ["C", "Am"]
chord_bars = 1
grid = 8

[parts.lead]
notes_per_bar = [2, 4]

[parts.low]
notes_per_bar = [1, 2]
"""
PLAN = plan_from_text(BRIEF, "steps")
LIMIT = 0.3  # deterministic seconds: the bounds may stay open here


@pytest.fixture(scope="module")
def outcome() -> Outcome:
    return arrange(PLAN, count=4, limit=LIMIT, cores=1)


def test_as_many_as_asked_for_best_first_each_valid_and_apart(outcome: Outcome) -> None:
    found = [ranked.arrangement for ranked in outcome.arrangements]
    assert len(found) == 4
    assert all(one.total >= two.total for one, two in pairwise(outcome.arrangements))
    for index, one in enumerate(found):
        assert breaches(PLAN, one) == []
        assert is_apart(PLAN, one, found[:index])


def test_the_number_of_cores_changes_nothing(outcome: Outcome) -> None:
    assert arrange(PLAN, count=4, limit=LIMIT, cores=3) == outcome


def test_another_seed_finds_others(outcome: Outcome) -> None:
    assert arrange(PLAN, count=1, seed=1, limit=LIMIT).arrangements != outcome.arrangements[:1]


def test_sketches_come_before_what_they_become_and_keep_every_rule() -> None:
    told: list[tuple[int, Ranked]] = []
    kept: list[int] = []
    lock = threading.Lock()

    def sketch(number: int, ranked: Ranked) -> None:
        with lock:
            told.append((number, ranked))

    arrange(PLAN, count=2, limit=LIMIT, on_sketch=sketch, on_arrangement=lambda ranked: kept.append(len(told)))
    assert {number for number, _ in told} >= {0, 1}
    assert kept[0] > 0
    for number in {number for number, _ in told}:
        totals = [ranked.total for of, ranked in told if of == number]
        assert all(after >= before + 1 for before, after in pairwise(totals))
    assert all(breaches(PLAN, ranked.arrangement) == [] and not ranked.proved for _, ranked in told)


def test_what_is_done_is_kept_when_it_is_stopped() -> None:
    found: list[Ranked] = []
    stopped = arrange(PLAN, count=50, limit=LIMIT, on_arrangement=found.append, stop=lambda: len(found) >= 2)
    assert stopped.interrupted
    assert len(stopped.arrangements) >= 2


def test_where_nothing_can_be_found_it_says_how_far_it_went() -> None:
    narrow = plan_of("bars = 1", lead='range = "D4..D4"')
    with pytest.raises(NoArrangement, match=r"\d+ rhythms|no rhythm"):
        arrange(narrow, count=1)


def test_the_search_for_a_rhythm_stops_when_it_is_asked_to(monkeypatch: pytest.MonkeyPatch) -> None:
    """None of two million layouts will do: to look at them all takes many minutes."""
    monkeypatch.setattr("solver.rhythm.lines.TRIES", 1)
    monkeypatch.setattr("solver.rhythm.skeletons.LAYOUTS", 10**9)
    plan = plan_of("tempo = 60; bars = 8", lead="notes_per_bar = [12, 12]; repeat_every = 4")
    for compared in (None, 10):
        outcome = arrange(plan, compared=compared, stop=lambda: True)
        assert (outcome.arrangements, outcome.tried, outcome.interrupted) == ((), 0, True)


@pytest.mark.parametrize("drawn", [True, False])
def test_all_rhythms_are_tried_only_where_they_are(drawn: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """A part of three rhythms and no root: where drawing finds none of them, it is the first alone that is tried."""
    if not drawn:
        monkeypatch.setattr("solver.rhythm.lines.Family.draw", lambda *given: [])
    plan = plan_of("grid = 4", low='notes_per_bar = [2, 2]; range = "E2..F2"')
    with pytest.raises(NoArrangement) as none:
        arrange(plan, count=1, limit=LIMIT)
    assert none.value.every == drawn
    assert len(none.value.tried) == (3 if drawn else 1)
