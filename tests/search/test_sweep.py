"""Rhythms compared: what is found is what solving each to the end finds, with fewer of them solved."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from solver.arrangement import Arrangement
from solver.search.solve import Solved
from solver.search.sweep import ABREAST, IN_VAIN, Sweep, compared_in_words, sweep

NOTHING = Arrangement(())
WANTED = 2

# Of each rhythm: its best total, how far its first and its tighter bound lie above that, and the lead's rhythm.
Rhythms = list[tuple[int, int, int, int]]
RHYTHMS = st.lists(
    st.tuples(st.integers(1, 100), st.integers(0, 20), st.integers(0, 20), st.integers(0, 5)), min_size=1, max_size=20
)


def solved(total: int, bound: int) -> Solved:
    skeleton: Any = None
    return Solved(skeleton, None, NOTHING, total, bound, total == bound, True)


def refused(decided: bool = True) -> Solved:
    skeleton: Any = None
    return Solved(skeleton, None, None, 0, 0, False, decided)


def swept(rhythms: Rhythms, cores: int = 1) -> tuple[Sweep, list[tuple[int, int | None]]]:
    """A sweep, and the numbers of the rhythms that were solved in it, each with the total it had to exceed."""
    asked: list[tuple[int, int | None]] = []

    def solve(number: int, above: int | None, may_win: bool) -> Solved:
        asked.append((number, above))
        best = rhythms[number][0]
        assert may_win or any(total >= best + rhythms[number][2] for total, *_ in rhythms)
        return refused() if above is not None and best <= above else solved(best, best)

    def enough(found: Sequence[Solved]) -> bool:
        return len(found) >= WANTED

    bounds = [best + first + tighter for best, first, tighter, _ in rhythms]
    with ThreadPoolExecutor(cores) as pool:
        tighter = [lambda number: rhythms[number][0] + rhythms[number][2]]
        return sweep(bounds, tighter, [lead for *_, lead in rhythms], solve, enough, pool), asked


@given(RHYTHMS)
def test_the_best_is_found_and_nothing_is_above_the_ceiling(rhythms: Rhythms) -> None:
    result, _ = swept(rhythms)
    best = max(best for best, *_ in rhythms)
    assert result.found[0].total == best == result.ceiling
    assert list(result.found) == sorted(result.found, key=lambda one: -one.total)


@given(RHYTHMS)
def test_as_many_leads_have_an_arrangement_as_are_wanted(rhythms: Rhythms) -> None:
    result, _ = swept(rhythms)
    assert len(result.found) >= min(WANTED, len({lead for *_, lead in rhythms}))


@given(RHYTHMS)
def test_the_number_of_cores_changes_nothing(rhythms: Rhythms) -> None:
    assert swept(rhythms, 3)[0] == swept(rhythms, 1)[0]


@given(RHYTHMS)
def test_no_rhythm_is_solved_twice_and_none_above_its_bound(rhythms: Rhythms) -> None:
    _, asked = swept(rhythms)
    assert len({number for number, _ in asked}) == len(asked)
    assert all(above is None or above < rhythms[number][0] + rhythms[number][2] for number, above in asked)


def test_what_cannot_win_is_not_solved() -> None:
    best, second, *others = [(90, 5, 0, 0), (89, 5, 0, 1), *[(60, 20, 5, lead) for lead in range(2, 30)]]
    result, asked = swept([*others, best, second])
    assert result.ceiling == 90
    # Those begun beside the first ones, before anything is known of them, are all that is solved in vain.
    assert len(asked) <= 1 + ABREAST


def test_another_rhythm_of_a_lead_is_only_asked_for_more_than_the_best() -> None:
    _, asked = swept([(90, 0, 0, 0), (80, 0, 15, 0), (70, 0, 0, 1), *[(50, 0, 0, 1)] * 9])
    assert dict(asked)[0] is None
    assert {number for number, _ in asked} <= {0, 1, 2, 3}


def test_what_stays_open_is_in_the_ceiling() -> None:
    def solve(number: int, above: int | None, may_win: bool) -> Solved:
        return [solved(80, 85), refused(decided=False), solved(70, 70)][number]

    with ThreadPoolExecutor(1) as pool:
        result = sweep([90, 88, 75], [], [0, 1, 2], solve, lambda found: len(found) >= WANTED, pool)
    assert (result.ceiling, result.undecided, len(result.found)) == (88, 1, 2)


def test_what_is_found_without_a_proof_leaves_its_own_bound_open() -> None:
    with ThreadPoolExecutor(1) as pool:
        result = sweep([90, 75], [], [0, 1], lambda number, *_: [solved(80, 85), solved(70, 70)][number], bool, pool)
    assert result.ceiling == 85


def test_many_rhythms_without_anything_end_it() -> None:
    asked: list[int] = []

    def solve(number: int, above: int | None, may_win: bool) -> Solved:
        asked.append(number)
        return refused()

    with ThreadPoolExecutor(1) as pool:
        assert sweep([9] * 100, [], [0] * 100, solve, lambda found: False, pool) == Sweep((), 0, 0)
    assert len(asked) == IN_VAIN


def test_it_ends_when_it_is_stopped() -> None:
    with ThreadPoolExecutor(1) as pool:
        result = sweep([9] * 5, [], [0] * 5, lambda *_: solved(9, 9), lambda found: False, pool, stopped=lambda: True)
    assert result == Sweep((), 0, 0)


def test_how_good_the_first_is_in_words() -> None:
    first = "than the first"
    assert compared_in_words(1, None, 0.0) == f"no arrangement in 1 rhythm scores higher {first}"
    assert compared_in_words(24, 24, -1.0) == f"no arrangement in 24 rhythms scores higher {first}"
    assert compared_in_words(24, 1_234, 0.25) == (
        f"no arrangement in 24 rhythms of at most 1,234 scores more than 0.2 points higher {first}"
    )
    assert compared_in_words(1_000, None, 0.0) == f"no arrangement in 1,000 rhythms scores higher {first}"
    assert "24 rhythms of at most 2 x 10^24 scores" in compared_in_words(24, 23 * 10**23, 0.0)
