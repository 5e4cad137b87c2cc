"""On smallest loops the plain halves of the rules and the pitch model have the very same solutions.

python-constraint enumerates all pitches that the plain rules accept, each slot a variable of its own; CP-SAT enumerates
all solutions of the model. The plain rules know no model, the model no plain rule.
"""

from __future__ import annotations

import pytest

from tests.search.counting import by_model, by_plain_rules
from tests.search.random_briefs import is_admitted
from tests.search.small_loops import LOOPS


@pytest.mark.parametrize("name", LOOPS)
def test_equal_solutions(name: str) -> None:
    plan = LOOPS[name].plan()
    skeleton = LOOPS[name].skeleton(plan)
    assert is_admitted(plan, skeleton.onsets)
    found = by_model(plan, skeleton)
    assert found
    assert found == by_plain_rules(plan, skeleton)


def test_the_loops_differ_in_kind() -> None:
    assert len(LOOPS) >= 20
    plans = [loop.plan() for loop in LOOPS.values()]
    parts = [part for plan in plans for part in plan.parts]
    assert {part.role for part in parts} == {"lead", "counter", "background", "chords", "low"}
    assert {part.texture for part in parts} == {"single", "dyads", "chords"}
    assert {part.figure for part in parts} == {"few notes", "steps", "broken chord"}
    assert {part.motion for part in parts} == {"free", "up", "down", "hold"}
    assert {plan.metre.name for plan in plans} == {"4/4", "3/4", "6/8", "5/4", "7/8"}
    assert any(span.chord.slash for plan in plans for span in plan.spans)
    assert any(not span.scale <= plan.key.pcs for plan in plans for span in plan.spans)
    assert {len(plan.parts) for plan in plans} == {1, 2, 3}
