"""Rhythms compared: what is found is what solving each to the end finds, with fewer long looks."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from solver.arrangement import Arrangement
from solver.search.solve import Solved
from solver.search.sweep import GLANCE, Sweep, compared_in_words, sweep

LIMIT = 5.0
NOTHING = Arrangement(())
WANTED = 2


def solved(total: int, bound: int) -> Solved:
    skeleton: Any = None
    return Solved(skeleton, None, NOTHING, total, bound, total == bound, True)


def refused() -> Solved:
    skeleton: Any = None
    return Solved(skeleton, None, None, 0, 0, False, True)


def second(found: Sequence[Solved]) -> int | None:
    return found[WANTED - 1].total if len(found) >= WANTED else None


def swept(rhythms: list[tuple[int, int, int]], cores: int = 1) -> tuple[Sweep, list[int]]:
    """A sweep over (best total, what a glance finds less, what its bound lies above): the numbers solved at length."""
    at_length: list[int] = []

    def solve(number: int, skeleton: Any, limit: float, above: int | None) -> Solved:
        best, short, open_ = rhythms[number]
        if limit == GLANCE:
            return solved(best - short, best + open_)
        at_length.append(number)
        return refused() if above is not None and best <= above else solved(best, best)

    with ThreadPoolExecutor(cores) as pool:
        none: Any = [None] * len(rhythms)
        return sweep(none, solve, second, LIMIT, pool), at_length


RHYTHMS = st.lists(st.tuples(st.integers(0, 100), st.integers(0, 20), st.integers(0, 20)), min_size=1, max_size=20)


@given(RHYTHMS)
def test_the_best_are_found_and_nothing_is_above_the_ceiling(rhythms: list[tuple[int, int, int]]) -> None:
    result, _ = swept(rhythms)
    totals = sorted((best for best, _, _ in rhythms), reverse=True)
    assert [one.total for one in result.found[:WANTED]] == totals[:WANTED]
    assert result.ceiling >= totals[0]
    assert all(one.total <= one.bound for one in result.found)
    assert len(rhythms) < WANTED or result.ceiling == totals[0]


@given(RHYTHMS)
def test_the_number_of_cores_changes_nothing(rhythms: list[tuple[int, int, int]]) -> None:
    assert swept(rhythms, 3)[0] == swept(rhythms, 1)[0]


def test_what_cannot_win_is_not_solved_at_length() -> None:
    _, at_length = swept([(90, 0, 0), (80, 0, 0), (70, 5, 5), (95, 5, 1)])
    assert at_length == [3]


def test_a_rhythm_without_anything_does_no_harm() -> None:
    def solve(number: int, skeleton: Any, limit: float, above: int | None) -> Solved:
        return refused()

    none: Any = [None, None]
    with ThreadPoolExecutor(1) as pool:
        assert sweep(none, solve, second, LIMIT, pool) == Sweep((), 0, 0)


def test_how_good_the_first_is_in_words() -> None:
    first = "than the first"
    assert compared_in_words(1, None, 0.0) == f"no arrangement in 1 rhythm scores higher {first}"
    assert compared_in_words(24, 24, -1.0) == f"no arrangement in 24 rhythms scores higher {first}"
    assert compared_in_words(24, 1_234, 0.25) == (
        f"no arrangement in 24 rhythms of at most 1,234 scores more than 0.2 points higher {first}"
    )
    assert "24 rhythms of at most 2 x 10^24 scores" in compared_in_words(24, 23 * 10**23, 0.0)
