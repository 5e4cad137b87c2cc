"""Rhythms compared in a search: the first arrangement is the best of them all, and the outcome says so."""

from __future__ import annotations

import pytest

from solver.brief.planning import plan_from_text
from solver.check import breaches
from solver.rhythm.skeleton import skeleton_from
from solver.rhythm.skeletons import every_rhythm
from solver.search.outcome import NoArrangement, Outcome
from solver.search.pool import arrange
from solver.search.scale import UNIT
from solver.search.solve import Watch, solve_skeleton
from solver.search.variety import is_apart
from tests.rules.small import plan_of
from tests.search.test_pool import BRIEF

PLAN = plan_from_text(BRIEF, "steps")
RHYTHMS = 16
COUNT = 3


@pytest.fixture(scope="module")
def outcome() -> Outcome:
    return arrange(PLAN, count=COUNT, compared=RHYTHMS, cores=1)


def test_the_first_is_the_best_of_all_rhythms_solved_one_by_one(outcome: Outcome) -> None:
    watch = Watch(lambda: False)
    try:
        each = [solve_skeleton(PLAN, skeleton_from(PLAN, rhythm), watch) for rhythm in every_rhythm(PLAN, 0, RHYTHMS)]
    finally:
        watch.close()
    assert all(one.proved for one in each if one.arrangement is not None)
    assert outcome.arrangements[0].total == max(one.total for one in each) / UNIT
    assert outcome.compared.startswith(f"no arrangement in {RHYTHMS} rhythms of at most ")
    assert outcome.compared.endswith(" scores higher than the first")
    assert outcome.tried == RHYTHMS


def test_all_are_valid_and_apart(outcome: Outcome) -> None:
    found = [ranked.arrangement for ranked in outcome.arrangements]
    assert len(found) == COUNT
    for index, one in enumerate(found):
        assert breaches(PLAN, one) == []
        assert is_apart(PLAN, one, found[:index])


def test_the_number_of_cores_changes_nothing(outcome: Outcome) -> None:
    assert arrange(PLAN, count=COUNT, compared=RHYTHMS, cores=3) == outcome


def test_nothing_in_any_rhythm_is_a_refusal() -> None:
    plan = plan_of('bars = 2; chords = ["C"]; grid = 8', lead='range = "C#4..C#4"', low="")
    with pytest.raises(NoArrangement, match="no arrangement in 36 rhythms keeps every rule"):
        arrange(plan, compared=50)
