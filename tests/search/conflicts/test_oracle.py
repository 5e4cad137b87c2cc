"""What an oracle has learnt changes how long it takes, and no answer."""

from __future__ import annotations

import pytest

from solver.brief.plan import Plan
from solver.rhythm.skeleton import Onsets
from solver.rhythm.skeletons import skeletons
from solver.rules import coverage, every_rule
from solver.search.conflicts.lines import Line, lines_of
from solver.search.conflicts.oracle import Oracle
from solver.search.conflicts.relaxing import relaxed
from tests.search.conflicts.infeasible import BRIEFS

NAMES = ("no root in the low range", "a lead of one pitch")


def case(name: str) -> tuple[Plan, tuple[Line, ...], dict[str, Onsets]]:
    """A brief's plan, its lines and its first rhythm."""
    source, plan = BRIEFS[name].read()
    return plan, lines_of(source, plan), next(skeletons(plan, plan.seed)).onsets


@pytest.mark.parametrize("name", NAMES)
def test_rules_that_are_not_enough_are_joined_by_those_that_are(name: str) -> None:
    plan, lines, rhythm = case(name)
    oracle = Oracle(plan, lines, [rhythm])
    everything = frozenset(lines)
    oracle.suspects = frozenset({coverage.NAME})
    assert not oracle.refutes(rhythm)
    assert not oracle.holds_on(everything, rhythm)
    assert oracle.suspects > {coverage.NAME}
    assert oracle.suspects <= {rule.name for rule in every_rule()}
    assert oracle.refutes(rhythm)


def test_an_oracle_that_learnt_answers_as_a_new_one() -> None:
    plan, lines, rhythm = case(NAMES[0])
    old = Oracle(plan, lines, [rhythm])
    old.core(frozenset(lines))
    questions = [frozenset(lines) - {line} for line in lines if line.part == "low"]
    answers = [old.feasible(kept) for kept in questions]
    assert answers == [Oracle(plan, lines, [rhythm]).feasible(kept) for kept in questions]
    assert answers == [old.changed(plan, lines, [rhythm]).feasible(kept) for kept in questions]
    assert set(answers) == {True, False}


def test_samples_are_the_same_when_they_are_asked_for_again() -> None:
    plan, lines, rhythm = case(NAMES[0])
    oracle = Oracle(plan, lines, [rhythm])
    for kept in (frozenset(lines), frozenset(line for line in lines if line.part != "low")):
        less = relaxed(plan, kept, lines)
        first = list(oracle.sample(less, kept))
        assert first
        assert all(set(one) == {part.name for part in less.parts} for one in first)
        assert list(oracle.sample(less, kept)) == first == list(Oracle(plan, lines, [rhythm]).sample(less, kept))
