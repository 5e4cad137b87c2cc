"""The figure "steps" moves by scale step: at least two thirds of all moves that are no repetition."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.rules.passing_notes import moves_by_step
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = 'the figure "steps" moves by step'


def applies(part: PartPlan) -> bool:
    """Lines with that figure."""
    return part.is_line and part.figure == "steps"


def post(model: PitchModel) -> None:
    """Three times the steps are at least twice the moves."""
    plan = model.plan
    for part in plan.parts:
        if not applies(part):
            continue
        balance = []
        for move in model.moves(part):
            for arc in model.arcs(move):
                if arc.a.top == arc.b.top:
                    continue
                steps = sum(moves_by_step(plan, part, a, arc.a.top, b, arc.b.top) for a, b in move.times)
                balance.append((3 * steps - 2 * len(move.times)) * arc.literal)
        model.cp.add(literal_sum(balance) >= 0)


def breaches(heard: Heard) -> list[Breach]:
    """Parts with too few steps."""
    found = []
    for part in heard.plan.parts:
        if not applies(part):
            continue
        moves = [(a, b) for a, b in heard.moves(part) if a.top != b.top]
        steps = sum(moves_by_step(heard.plan, part, a.onset, a.top, b.onset, b.top) for a, b in moves)
        if 3 * steps < 2 * len(moves):
            found.append(
                Breach(
                    NAME, part.name, heard.of(part)[0].onset, f"{steps} of {len(moves)} moves are steps, not two thirds"
                )
            )
    return found


RULE = Rule(NAME, breaches, post=post)
