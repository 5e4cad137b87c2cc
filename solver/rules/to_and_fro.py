"""A lead does not swing: no four of its notes in a row use only two pitches in turn, nor one pitch alone.

Counted within a statement: where a short one comes again, its own notes do as well. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.lead_life import statement_bars
from solver.rules.rule import Breach, Rule

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the lead does not swing to and fro"
IN_A_ROW = 4


def fours(plan: Plan, part: PartPlan, onsets: Sequence[int]) -> Iterator[int]:
    """Indices of the first of four neighbouring notes that lie in one statement."""
    statement = statement_bars(plan, part) * plan.metre.grid
    for index in range(len(onsets) - IN_A_ROW + 1):
        if onsets[index] // statement == onsets[index + IN_A_ROW - 1] // statement:
            yield index


def post(model: PitchModel) -> None:
    """Of four notes in a row, the first and third or the second and fourth differ."""
    for part in model.plan.with_role("lead"):
        for index in fours(model.plan, part, model.skeleton.onsets[part.name]):
            pairs = model.same_top(part, index, index + 2), model.same_top(part, index + 1, index + 3)
            model.cp.add(pairs[0] + pairs[1] <= 1)


def breaches(heard: Heard) -> list[Breach]:
    """Places where a lead swings for four notes or more."""
    found = []
    for part in heard.plan.with_role("lead"):
        strokes = heard.of(part)
        for index in fours(heard.plan, part, [stroke.onset for stroke in strokes]):
            tops = [stroke.top for stroke in strokes[index : index + IN_A_ROW]]
            if tops[0] == tops[2] and tops[1] == tops[3]:
                why = "four notes in a row swing between two pitches or stay on one"
                found.append(Breach(NAME, part.name, strokes[index].onset, why))
    return found


RULE = Rule(NAME, breaches, post=post)
