"""Which rules held notes break by themselves: those rules are excused for them, with notice, and no others."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.check import breaches
from solver.rhythm.held_notes import held_of, strokes
from solver.rhythm.lines import refused
from solver.rhythm.skeleton import Skeleton
from solver.rules import every_rule, one_at_a_time, repeats
from solver.rules.rule import Rule
from solver.search.cp_sat import cp_model

if TYPE_CHECKING:
    from solver.search.solve import Watch

LIMIT = 2.0  # deterministic seconds for the question whether a rule can be kept


def is_witness(plan: Plan, arrangement: Arrangement) -> bool:
    """Whether an arrangement has all held notes and keeps every rule: then held notes break none by themselves."""
    held = {note for source in plan.held for note in source.notes}
    return held <= set(arrangement.notes) and not breaches(plan, arrangement)


def broken_by_held(plan: Plan, skeleton: Skeleton, watch: Watch) -> frozenset[str]:
    """The names of the rules over several notes that held notes break by themselves in a skeleton: with that rule alone
    there is no solution, and without the held notes there is one."""
    free = replace(plan, held=())
    posting = (rule for rule in every_rule() if rule.post is not None)
    return frozenset(
        rule.name
        for rule in posting
        if _is_possible(plan, skeleton, rule, watch) is False and _is_possible(free, skeleton, rule, watch) is not False
    )


def _is_possible(plan: Plan, skeleton: Skeleton, rule: Rule, watch: Watch) -> bool | None:
    """Whether some pitches keep a rule; None where that stays open."""
    from solver.search.conflicts.explaining_model import ExplainingModel
    from solver.search.model import NoState
    from solver.search.solvers import solver_for

    try:
        # Made for such questions: it has only those moves that the rule asks for.
        model = ExplainingModel(plan, skeleton, (rule,), lambda name, parts: True)
    except NoState:
        return None
    status = watch.solve(solver_for(LIMIT), model.model)
    return {cp_model.OPTIMAL: True, cp_model.FEASIBLE: True, cp_model.INFEASIBLE: False}.get(status)


def broken_rhythms(plan: Plan, skeleton: Skeleton) -> frozenset[str]:
    """The names of the rules that a skeleton breaks because of the rhythm, or the repeat, of held notes."""
    if not plan.held:
        return frozenset()
    names: set[str] = set()
    for part in plan.parts:
        if held_of(plan, part):
            names |= set(refused(plan, part, skeleton.onsets[part.name]))
            if _overlaps(plan, part):
                names.add(one_at_a_time.NAME)
            if _parts_ways(plan, part, skeleton):
                names.add(repeats.NAME)
    together = (rule for rule in every_rule() if rule.admits_together is not None)
    names |= {
        rule.name for rule in together if rule.admits_together and not rule.admits_together(plan, skeleton.onsets)
    }
    return frozenset(names)


def _overlaps(plan: Plan, part: PartPlan) -> bool:
    """Whether held notes of a line start together or sound over each other."""
    if not part.is_line:
        return False
    held = sorted(stroke for source in held_of(plan, part) for stroke in strokes(source) if source.aspect != "pitch")
    if any(len(stroke) > 1 for stroke in held):
        return True
    return not part.rings and any(a[0].end > b[0].onset for a, b in itertools.pairwise(held))


def _parts_ways(plan: Plan, part: PartPlan, skeleton: Skeleton) -> bool:
    """Whether held notes of a repeat differ from those of the first statement, outside the varied bar."""
    if part.repeat_every is None:
        return False
    tail = plan.tail_start(part) if part.vary_notes[1] > 0 else plan.slots
    at = {slot.onset: slot.index for slot in skeleton.slots[part.name]}
    return any(
        slot.home == slot.index
        and plan.home_slot(part, slot.onset) != slot.onset
        and plan.home_slot(part, slot.onset) in at
        for slot in skeleton.slots[part.name]
        if slot.onset < tail
    )
