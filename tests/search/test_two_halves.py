"""The two halves of every rule say the same: what the pitch model allows is what the check on plain notes accepts.

Each example is a small brief with a rhythm, drawn at random, and some arrangements of it (see ``tests.search.halves``,
which is also a command that looks at thousands).
"""

from __future__ import annotations

import pytest

from tests.search.halves import differences


@pytest.mark.parametrize("seed", range(100))
def test_the_check_accepts_what_the_model_allows_and_nothing_else(seed: int) -> None:
    """The same briefs each time, so that a rare fault does not turn up in an unrelated change; the command looks on."""
    _, found = differences(seed)
    assert found == []


@pytest.mark.xfail(strict=True, reason="a repeated broken chord keeps its strings in the model, not in the check")
def test_a_broken_chord_whose_varied_repeat_would_need_other_strings() -> None:
    """G5, B flat 4, A4 and D5 lie on strings 1 to 4; the repeat without D5 leaves string 2 out, and the model forbids
    it, while the check would play the repeat on other strings."""
    assert differences(26617)[1] == []


def test_examples_are_judged_both_ways() -> None:
    """Among the first briefs there are some that have a solution and some that have none."""
    assert sum(differences(seed)[0] for seed in range(10)) >= 40
