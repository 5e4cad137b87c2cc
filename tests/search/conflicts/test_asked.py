"""What is remembered of rules is what they say, whichever part and time it was first asked for."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from solver.brief.plan import PartPlan, Plan
from solver.brief.planning import plan_from_text
from solver.rules import every_rule, in_range, strong_beats
from solver.rules.rule import Rule
from solver.search.conflicts.asked import Asked
from solver.search.state import State
from solver.search.states import candidate_states

# Repeats over other chords, in half the bar or two, with struck, broken and single notes, and a background.
BRIEF = """
key = "A minor"
bars = 4
chords = ["Am", "F", "E7/G#"]
chord_bars = [1, 1, 2]
grid = 4
{parts}
"""
PART = '\n[parts.{name}]\nrole = "{role}"\nrepeat_every = {repeat}\nrange = "{range}"\n{more}\n'
STRUCK = {"role": "chords", "range": "E3..E4", "more": 'texture = "dyads"'}
PARTS = {
    "lead": {"role": "lead", "range": "A4..E5", "more": ""},
    "strum": {**STRUCK, "more": 'figure = "broken chord"'},
    "pluck": STRUCK,
    "middle": {"role": "background", "range": "G3..E4", "more": ""},
    "low": {"role": "low", "range": "E2..C3", "more": ""},
}


def variants(name: str) -> list[tuple[Plan, PartPlan]]:
    """Plans that differ in what conflicts leave out of a part."""
    found: list[tuple[Plan, PartPlan]] = []
    for repeat in (1, 2, 4):
        plan = plan_from_text(BRIEF.format(parts=PART.format(name=name, repeat=repeat, **PARTS[name])), "asked")
        part = plan.parts[0]
        found += [(plan, part), (plan, replace(part, low=part.low - 2)), (plan, replace(part, notes_per_bar=(0, 8)))]
    return found


def rules_on(what: str) -> tuple[Rule, ...]:
    return tuple(rule for rule in every_rule() if getattr(rule, what) is not None)


@pytest.mark.parametrize("name", PARTS)
def test_states_are_those_that_the_rules_allow(name: str) -> None:
    asked, rules = Asked(), rules_on("allows_state")
    for plan, part in variants(name):
        for slot, other in ((slot, (slot + plan.slots // 2) % plan.slots) for slot in range(plan.slots)):
            every = candidate_states(plan, part, slot)
            left, told = asked.fits(plan, part, (slot, other), every, rules, (strong_beats.NAME,), held=False)
            allowed = {
                rule.name: {s for s in every if all(allows(rule, plan, part, at, s) for at in (slot, other))}
                for rule in rules
            }
            fits = allowed.pop(strong_beats.NAME)
            assert set(left) == set.intersection(*allowed.values())
            assert [(rule, set(states) & set(left)) for rule, states in told] == [(strong_beats.NAME, fits & set(left))]


def allows(rule: Rule, plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    assert rule.allows_state is not None
    return rule.allows_state(plan, part, slot, state)


def test_a_rule_that_allows_no_held_note_is_passed_over() -> None:
    plan, part = variants("lead")[0]
    high = (State((100,)),)
    rules = (in_range.RULE,)
    assert Asked().fits(plan, part, (0,), high, rules, (), held=True) == (high, ())
    assert Asked().fits(plan, part, (0,), high, rules, (), held=False) == ((), ())


@pytest.mark.parametrize("name", PARTS)
def test_moves_are_those_that_the_rules_allow(name: str) -> None:
    asked, rules = Asked(), rules_on("allows_move")
    for plan, part in variants(name):
        for slot in range(0, plan.slots, 2):
            times = tuple(((slot + turn) % plan.slots, (slot + turn + 1) % plan.slots) for turn in (0, plan.slots // 2))
            a, b = (candidate_states(plan, part, at)[:12] for at in times[0])
            table = asked.table(plan, part, times, rules, a, b)
            for (i, one), (j, other) in product(enumerate(a), enumerate(b)):
                allowed = all(
                    rule.allows_move is not None and rule.allows_move(plan, part, s, one, t, other)
                    for rule in rules
                    for s, t in times
                )
                assert table[i][j] == allowed
