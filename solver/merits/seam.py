"""The end leads back: the way from the last note to the first is small.

Unit: semitones beyond a whole step from each part's last note to its first, as a loss, twice for a lead.
Common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.merits.merit import Merit, Reward

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the end leads back"
STEP = 2


def excess(a: int, b: int) -> int:
    """Semitones beyond a whole step."""
    return max(0, abs(a - b) - STEP)


def weight(part: PartPlan) -> int:
    """How much a part counts."""
    return 2 if part.role == "lead" else 1


def measure(heard: Heard) -> int:
    """The loss over all parts, negative."""
    total = 0
    for part in heard.plan.parts:
        strokes = heard.of(part)
        if len(strokes) > 1:
            total -= weight(part) * excess(strokes[-1].top, strokes[0].top)
    return total


def reward(model: PitchModel) -> Reward:
    """A cost on the arcs that close the loop."""
    total = Reward()
    for part in model.plan.parts:
        last = len(model.skeleton.slots[part.name]) - 1
        if last < 1:
            continue
        for arc in model.arcs_between(part, last, 0):
            total.add(-weight(part) * excess(arc.a.top, arc.b.top), arc.literal)
    return total


def sentence(heard: Heard) -> str:
    """How each part comes home."""
    ways = []
    for part in heard.plan.parts:
        strokes = heard.of(part)
        if len(strokes) > 1:
            ways.append(f"{part.name} by {abs(strokes[0].top - strokes[-1].top)}")
    return "from the last note back to the first, in semitones: " + ", ".join(ways)


MERIT = Merit(NAME, lambda plan: True, measure, lambda heard: 0, sentence, reward, adds_up=True)
