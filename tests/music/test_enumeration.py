"""The enumerator against plain counting through all combinations."""

from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from solver.music.enumeration import Rule, solutions

DOMAINS = st.lists(st.lists(st.integers(0, 5), max_size=4, unique=True), min_size=1, max_size=4)


@given(DOMAINS, st.sets(st.tuples(st.integers(0, 5), st.integers(0, 5))), st.integers(0, 20))
def test_it_finds_just_what_plain_counting_finds(
    domains: list[list[int]], forbidden: set[tuple[int, int]], most: int
) -> None:
    neighbours = range(len(domains) - 1)
    rules: list[Rule] = [(lambda a, b: (a, b) not in forbidden, (index, index + 1)) for index in neighbours]
    rules.append((lambda *values: sum(values) <= most, range(len(domains))))
    expected = [
        values
        for values in product(*domains)
        if sum(values) <= most and not any((values[i], values[i + 1]) in forbidden for i in neighbours)
    ]
    assert sorted(solutions(domains, rules)) == sorted(expected)


def test_nothing_to_choose_has_no_solution() -> None:
    assert solutions([], []) == []
    assert solutions([[1], []], []) == []
