"""Where arrangements keep clear of something, rhythms in which nothing of it fits come first; none is lost."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import islice

from solver.avoided import Avoidance, Avoided, LoopLine, Move
from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton
from solver.rhythm.skeletons import skeletons
from solver.rules.clear_of_references import forbidden, runs_in_place
from solver.search.clearest import BATCH, clearest_first
from tests.rules.small import plan_of

PLAN = plan_of("bars = 2", lead="notes_per_bar = [3, 4]", low="notes_per_bar = [1, 2]")


def avoiding(skeleton: Skeleton) -> Plan:
    """The plan, kept clear of a lead in the rhythm of a skeleton, up and down by step."""
    onsets = skeleton.onsets["lead"]
    following = [*onsets[1:], PLAN.slots + onsets[0]]
    moves = tuple(
        Move((2, -1, -2, 1)[index % 4], (then - onset) * PLAN.quarters_per_slot)
        for index, (onset, then) in enumerate(zip(onsets, following, strict=True))
    )
    line = LoopLine("lead", onsets[0] * PLAN.quarters_per_slot, moves)
    return replace(PLAN, avoid=Avoidance((Avoided("quay.mid", Fraction(4), (line,)),), 3))


def fits(plan: Plan, skeleton: Skeleton) -> int:
    """How many forbidden runs have their rhythm in the lead."""
    return len(list(runs_in_place(plan, skeleton.onsets["lead"], forbidden(plan))))


def test_what_leaves_the_melodies_free_comes_first_and_nothing_is_lost() -> None:
    usual = list(islice(skeletons(PLAN, 0), BATCH))
    plan = avoiding(usual[0])
    assert fits(plan, usual[0]) > 0
    clear = list(islice(clearest_first(plan, skeletons(PLAN, 0)), BATCH))
    assert fits(plan, clear[0]) == 0
    assert fits(plan, clear[-1]) > 0
    assert sorted(str(one.onsets) for one in clear) == sorted(str(one.onsets) for one in usual)


def test_without_anything_to_avoid_the_order_stays() -> None:
    usual = [one.onsets for one in islice(skeletons(PLAN, 0), 5)]
    assert [one.onsets for one in islice(clearest_first(PLAN, skeletons(PLAN, 0)), 5)] == usual
