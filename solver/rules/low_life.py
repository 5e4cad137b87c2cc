"""The low part is not one note throughout, unless it is to hold one under a single chord."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the low part is more than one note"


def applies(plan: Plan, part: PartPlan) -> bool:
    """Held pedals under one chord span are what the brief asks for."""
    return part.motion != "hold" or len(plan.spans) > 1


def post(model: PitchModel) -> None:
    """No pitch fills all slots."""
    for part in model.plan.with_role("low"):
        homes = sorted({slot.home for slot in model.skeleton.slots[part.name]})
        if not applies(model.plan, part) or len(model.skeleton.slots[part.name]) < 2:
            continue
        if len(homes) == 1:
            # One note that repeats: the rhythm itself breaks the rule.
            model.cp.add_bool_or([])
            continue
        for pitch in sorted({state.pitches[0] for state in model.states(part, homes[0])}):
            same = [x for home in homes for x in model.literals(part, home, lambda s, p=pitch: s.pitches[0] == p)]
            model.cp.add(literal_sum(same) <= len(homes) - 1)


def breaches(heard: Heard) -> list[Breach]:
    """Low parts that never leave their first pitch."""
    found = []
    for part in heard.plan.with_role("low"):
        strokes = heard.of(part)
        if applies(heard.plan, part) and len(strokes) > 1 and len({stroke.pitches[0] for stroke in strokes}) == 1:
            found.append(Breach(NAME, part.name, strokes[0].onset, "it plays the same pitch from end to end"))
    return found


RULE = Rule(NAME, breaches, post=post)
