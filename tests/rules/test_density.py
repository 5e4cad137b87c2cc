"""As many notes a bar as asked."""

from __future__ import annotations

import pytest

from solver.rules.density import RULE, admits
from tests.rules.small import found, onsets_of, plan_of

PLAN = plan_of("bars = 2", lead="notes_per_bar = [2, 3]")


@pytest.mark.parametrize(
    ("line", "broken"),
    [
        ("C5 . E5 . | C5 D5 E5 .", []),
        ("C5 . . . | C5 D5 E5 .", [("lead", 0)]),
        ("C5 . E5 . | C5 D5 E5 D5", [("lead", 16)]),
        (". . . . | C5 . . .", [("lead", 0), ("lead", 16)]),
        ("C5+E5 . E5+G5 . | C5 . E5 .", []),  # a dyad is one stroke
    ],
)
def test_bars(line: str, broken: list[tuple[str, int]]) -> None:
    assert found(RULE, PLAN, lead=line) == broken
    assert admits(PLAN, PLAN.part("lead"), onsets_of(PLAN, lead=line)["lead"]) == (not broken)
