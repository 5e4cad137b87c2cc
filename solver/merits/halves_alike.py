"""Bars begin alike in both halves: the second half of a lead's statement takes the first one up, bar by bar.

Unit: bars of the second half that begin with a note on their first slot, at the pitch at which the same bar of the
first half begins. The best is all bars of the second half that begin so, at least one for each lead. Only the first
statement is looked at, for the others repeat it. A statement of an odd number of bars, one alone among them, has no
halves; where no lead has any, the merit is left out. Consequents that begin as their antecedents do: common practice,
no source; tells tunes from a bar moved (tests/outside/ranking).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Onsets, Reward
from solver.rules.rule import literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "bars begin alike in both halves"


def statement(plan: Plan, part: PartPlan) -> int:
    """Bars of a part's statement; the whole loop where it does not repeat."""
    return part.repeat_every or plan.bars


def halved(plan: Plan) -> list[PartPlan]:
    """Leads whose statements have halves of whole bars."""
    return [part for part in plan.with_role("lead") if statement(plan, part) % 2 == 0]


def begun(plan: Plan, part: PartPlan, onsets: Onsets) -> list[int]:
    """Note indices that begin a bar of the second half, in the first statement."""
    grid, bars = plan.metre.grid, statement(plan, part)
    return [i for i, onset in enumerate(onsets) if onset % grid == 0 and bars // 2 <= onset // grid < bars]


def beginnings(plan: Plan, part: PartPlan, onsets: Onsets) -> list[tuple[int, int]]:
    """Pairs of note indices (first half, second half) that begin the same bar of their halves."""
    half = statement(plan, part) // 2 * plan.metre.grid
    index_at = {onset: index for index, onset in enumerate(onsets)}
    second = begun(plan, part, onsets)
    return [(index_at[onsets[i] - half], i) for i in second if onsets[i] - half in index_at]


def measure(heard: Heard) -> int:
    """Bars that begin as those of the first half do."""
    count = 0
    for part in halved(heard.plan):
        strokes = heard.of(part)
        pairs = beginnings(heard.plan, part, heard.onsets[part.name])
        count += sum(strokes[one].top == strokes[other].top for one, other in pairs)
    return count


def best(heard: Heard) -> int:
    """All bars of second halves that begin with a note; at least one a lead, so that without any there are no points
    here."""
    plan = heard.plan
    return sum(max(1, len(begun(plan, part, heard.onsets[part.name]))) for part in halved(plan))


def reward(model: PitchModel) -> Reward:
    """A literal per pair of notes that may only be true where both are at one pitch."""
    total = Reward()
    for part in halved(model.plan):
        slots = model.skeleton.slots[part.name]
        for one, other in beginnings(model.plan, part, model.skeleton.onsets[part.name]):
            first, second = model.by_top(part, slots[one].home), model.by_top(part, slots[other].home)
            same = model.cp.new_bool_var("")
            for pitch, literals in first.items():
                model.cp.add(same + literal_sum(literals) <= 1 + literal_sum(second.get(pitch, [])))
            total.add(1, same)
    return total


def sentence(heard: Heard) -> str:
    """How many begin alike."""
    plan = heard.plan
    could = sum(len(begun(plan, part, heard.onsets[part.name])) for part in halved(plan))
    if not could:
        return "no bar of the second half of the lead's statement begins with a note"
    alike = measure(heard)
    return f"{alike} of {could} bars of the second half of the lead's statement begin as those of the first half do"


MERIT = Merit(NAME, lambda plan: bool(halved(plan)), measure, best, sentence, reward, adds_up=True)
