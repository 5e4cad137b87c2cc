"""As many notes a bar as asked."""

from __future__ import annotations

import pytest

from solver.rules.density import RULE, admits
from tests.rules.small import found, heard, onsets_of, plan_of

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


def test_what_a_breach_says() -> None:
    (breach,) = RULE.breaches(heard(PLAN, lead="C5 . . . | C5 D5 E5 ."))
    assert breach.why == "1 note in the bar, not 2 to 3"
