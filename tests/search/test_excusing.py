"""Giving up constraints of excused rules: as few as can be, and of those the ones that leave the best."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest

from solver.search.cp_sat import cp_model
from solver.search.excusing import Excusing, give_up
from solver.search.model import PitchModel
from solver.search.solve import Watch
from solver.search.solvers import solver_for


@pytest.mark.parametrize("wanted", [0, 1])
def test_which_constraint_is_given_up_is_left_to_what_is_best(wanted: int) -> None:
    """Of two that contradict each other either may go, and the best may need either; a third stays."""
    cp, kept = cp_model.CpModel(), cast("list[Any]", [])
    literal, other = cp.new_bool_var(""), cp.new_bool_var("")
    excusing = Excusing(cp, kept)
    excusing.add_bool_or(literal)
    excusing.add_bool_or(literal.negated())
    excusing.add_bool_or(other)
    model = cast("PitchModel", SimpleNamespace(cp=cp, kept=kept, begin_with=lambda solver: None))
    watch = Watch(lambda: False)
    try:
        assert give_up(model, solver_for(1.0), watch) == cp_model.OPTIMAL
    finally:
        watch.close()
    cp.maximize((literal if wanted else 1 - literal) - 2 * other)
    solver = solver_for(1.0)
    assert solver.solve(cp) == cp_model.OPTIMAL
    assert (solver.value(literal), solver.value(other)) == (wanted, 1)
