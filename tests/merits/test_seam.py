"""The end leads back."""

from __future__ import annotations

from solver.merits.seam import MERIT
from tests.rules.small import heard, plan_of


def test_what_goes_beyond_a_whole_step_counts_twice_for_a_lead() -> None:
    plan = plan_of("bars = 1", lead="", low="")
    assert MERIT.measure(heard(plan, lead="C5 E5 G5 D5", low="C3 G3 . D3")) == 0
    assert MERIT.measure(heard(plan, lead="C5 E5 G5 A5", low="C3 G3 . D3")) == -2 * 7
    assert MERIT.measure(heard(plan, lead="C5 E5 G5 D5", low="C3 G3 . A3")) == -7
    assert MERIT.measure(heard(plan, lead="C5 . . .", low="C3 . . .")) == 0  # one note moves nowhere
