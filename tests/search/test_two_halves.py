"""The two halves of every rule say the same: what the pitch model allows is what the check on plain notes accepts.

Each example is a small brief with a rhythm, drawn at random, and some arrangements of it (see ``tests.search.halves``,
which is also a command that looks at thousands).
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.search.halves import differences


# The same examples each time, so that a rare fault does not turn up in somebody's unrelated change; the command looks
# further.
@given(st.integers(0, 2**31 - 1))
@settings(max_examples=64, deadline=None, derandomize=True)
def test_the_check_accepts_what_the_model_allows_and_nothing_else(seed: int) -> None:
    _, found = differences(seed)
    assert found == []


def test_a_repeated_broken_chord_keeps_its_strings() -> None:
    """G5, B flat 4, A4 and D5 lie on strings 1 to 4; the repeat without D5 would leave string 2 out."""
    judged, found = differences(26617)
    assert judged
    assert found == []


def test_examples_are_judged_both_ways() -> None:
    """Among the first briefs there are some that have a solution and some that have none."""
    assert sum(differences(seed)[0] for seed in range(10)) >= 40
