"""The conflict finder over oracles of its own, without music."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.search.conflicts.finder import NotMinimal, independent_conflicts, minimal_conflict, verify

Feasible = Callable[[frozenset[int]], bool]
SETS = st.lists(st.frozensets(st.integers(0, 7), min_size=1, max_size=4), max_size=5)


def oracle_of(conflicts: list[frozenset[int]]) -> Feasible:
    """Whether a subset holds none of the conflicts."""
    return lambda subset: not any(conflict <= subset for conflict in conflicts)


def finder(feasible: Feasible) -> Callable[[Sequence[int]], tuple[int, ...]]:
    """The finder over one oracle."""
    return lambda rest: minimal_conflict(rest, feasible)


@given(SETS, st.permutations(range(8)))
def test_what_is_found_is_a_smallest_conflict(conflicts: list[frozenset[int]], order: list[int]) -> None:
    feasible = oracle_of(conflicts)
    found = frozenset(minimal_conflict(order, feasible))
    minimal = {one for one in conflicts if not any(other < one for other in conflicts)}
    assert found in minimal if conflicts else not found


@given(SETS)
def test_independent_conflicts_share_nothing_and_leave_nothing(conflicts: list[frozenset[int]]) -> None:
    feasible = oracle_of(conflicts)
    found = independent_conflicts(range(8), finder(feasible), most=8)
    together = [member for conflict in found for member in conflict]
    assert len(together) == len(set(together))
    assert feasible(frozenset(range(8)) - frozenset(together))


def test_shared_members_may_come_back() -> None:
    feasible = oracle_of([frozenset({0, 1}), frozenset({0, 2})])
    assert independent_conflicts(range(3), finder(feasible)) == [(0, 2)]
    assert independent_conflicts(range(3), finder(feasible), shared=lambda member: member == 0) == [(0, 2), (0, 1)]


def test_no_more_than_asked_for() -> None:
    feasible = oracle_of([frozenset({member}) for member in range(5)])
    assert len(independent_conflicts(range(5), finder(feasible))) == 3


def test_a_core_that_lies_does_no_harm() -> None:
    feasible = oracle_of([frozenset({2, 3})])
    assert minimal_conflict(range(5), feasible, core=lambda subset: {0, 1}) == (2, 3)


def test_what_is_no_minimal_conflict_does_not_pass() -> None:
    feasible = oracle_of([frozenset({2, 3})])
    verify(frozenset({2, 3}), feasible)
    for wrong in ({2}, {2, 3, 4}):
        with pytest.raises(NotMinimal):
            verify(frozenset(wrong), feasible)


def test_an_oracle_that_contradicts_itself_is_not_believed() -> None:
    answers = iter([False])  # it refuses the members as a whole, and nothing after that
    with pytest.raises(NotMinimal):
        minimal_conflict(range(2), lambda members: next(answers, True))
