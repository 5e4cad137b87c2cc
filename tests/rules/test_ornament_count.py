"""How many ornaments there are."""

from __future__ import annotations

import pytest

from solver.rules.ornament_count import RULE, most
from tests.rules.small import found, plan_of

FEW = plan_of('ornaments = "few"', lead="")
LINE = "C5:trill - - . | E5 - - . | C5:trill - - . | E5 - - ."


def test_one_in_four_bars() -> None:
    assert found(RULE, FEW, lead="C5:trill . E5 .") == []
    assert found(RULE, FEW, lead="C5:trill E5 C5:trill E5") == [("lead", 0)]


def test_one_in_each_bar() -> None:
    assert found(RULE, plan_of('bars = 4; ornaments = "many"', lead="repeat_every = 4"), lead=LINE) == []
    assert found(RULE, plan_of('bars = 4; ornaments = "few"', lead="repeat_every = 4"), lead=LINE) == [("lead", 0)]


def test_none_where_one_could_be() -> None:
    assert found(RULE, FEW, lead="C5 . E5 .") == [("lead", 0)]
    assert found(RULE, FEW, lead="C5 E5 C5 E5 C5 E5 C5 E5") == []


def test_none_where_none_is_wanted() -> None:
    assert found(RULE, plan_of(lead=""), lead="C5:trill . E5 .") == [("lead", 0)]
    assert found(RULE, plan_of(lead=""), lead="C5 . E5 .") == []


@pytest.mark.parametrize(("keys", "wanted"), [("", 2), ("repeat_every = 4", 1), ('ornaments = "none"', 0)])
def test_most_in_a_statement(keys: str, wanted: int) -> None:
    plan = plan_of('bars = 8; ornaments = "few"', lead=keys or "repeat_every = 8", low="")
    assert most(plan, plan.part("lead")) == wanted
    assert most(plan, plan.part("low")) == 0
