"""Small moves: pitch proximity (Schellenberg 1997, Music Perception 14(3) 295-318).

The model says that the larger the interval, the less it is expected. Unit: semitones beyond a major third, as a loss
over all moves of the melodic parts, twice for a lead. Two things are ours: thirds cost nothing, for a lead of these
loops is often a chord played note by note; and a repeated note costs as much as a tritone, for else the best
melody were one note.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Reward

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "small moves"
THIRD = 4
REPEATED = 2
WEIGHT = {"lead": 2, "counter": 1, "background": 1}


def parts(plan: Plan) -> list[tuple[PartPlan, int]]:
    """The melodic parts and how much each counts."""
    return [(part, WEIGHT[part.role]) for part in plan.parts if part.role in WEIGHT]


def cost(a: int, b: int) -> int:
    """What a move from MIDI pitch a to b costs."""
    return REPEATED if a == b else max(0, abs(a - b) - THIRD)


def measure(heard: Heard) -> int:
    """The loss over all moves, negative."""
    return -sum(weight * cost(a.top, b.top) for part, weight in parts(heard.plan) for a, b in heard.moves(part))


def reward(model: PitchModel) -> Reward:
    """The same on the arcs."""
    total = Reward()
    for part, weight in parts(model.plan):
        for move in model.moves(part):
            for arc in model.arcs(move):
                total.add(-weight * len(move.times) * cost(arc.a.top, arc.b.top), arc.literal)
    return total


def sentence(heard: Heard) -> str:
    """How large the lead's moves are."""
    part = parts(heard.plan)[0][0]
    sizes = [abs(a.top - b.top) for a, b in heard.moves(part)]
    small = sum(0 < size <= THIRD for size in sizes)
    return (
        f"{small} of {len(sizes)} moves of {part.name} are steps or thirds, "
        f"{sizes.count(0)} repeat a note, the largest is {max(sizes, default=0)} semitones"
    )


MERIT = Merit(NAME, lambda plan: bool(parts(plan)), measure, lambda heard: 0, sentence, reward, adds_up=True)
