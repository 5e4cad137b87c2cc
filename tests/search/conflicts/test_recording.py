"""What the constraints of a rule are about, also those of variables that the rule made for itself."""

from __future__ import annotations

from solver.search.conflicts.recording import Recording, places_of
from solver.search.cp_sat import cp_model


def test_a_rules_own_variables_are_about_what_stands_beside_them() -> None:
    cp = Recording(cp_model.CpModel())
    lead, low, own, further, apart = (cp.new_bool_var("") for _ in range(5))
    known = {lead.index: {("lead", 0)}, low.index: {("low", 3)}}
    cp.on = True
    cp.add(own + further <= 1)  # first the one whose places are known last
    cp.add_implication(lead, own)
    cp.add_exactly_one(further, low)
    cp.add_bool_or(apart)
    both = {("lead", 0), ("low", 3)}
    assert places_of([constraint for constraint, _ in cp.take()], known) == [both, both, both, set()]
    assert cp.take() == []
