"""Parts keep their order from high to low and never sound the same pitch at once.

A struck-chord part stays under every lead and over every low part and may enclose the others. Notes count as long
as they sound, the ring of a broken chord included.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "parts do not cross"


def ordered_pairs(plan: Plan) -> Iterator[tuple[PartPlan, PartPlan]]:
    """Pairs (upper, lower) of parts that must not cross."""
    for index, upper in enumerate(plan.by_rank):
        for lower in plan.by_rank[index + 1 :]:
            if is_bound(upper, lower):
                yield upper, lower


def is_bound(upper: PartPlan, lower: PartPlan) -> bool:
    """Whether two parts, the first ranking higher, must not cross."""
    if upper.texture == "chords":
        return lower.role == "low"
    if lower.texture == "chords":
        return upper.role == "lead"
    return True


def post(model: PitchModel) -> None:
    """For notes that sound together: for no threshold is the upper at or below it and the lower at or above it."""
    seen = set()
    for upper, lower in ordered_pairs(model.plan):
        for high in model.skeleton.slots[upper.name]:
            for low in model.skeleton.slots[lower.name]:
                if low.onset >= high.end:
                    break
                key = (upper.name, high.home, lower.name, low.home)
                if low.end <= high.onset or key in seen:
                    continue
                seen.add(key)
                bound = 0
                for threshold in sorted({state.top for state in model.states(lower, low.home)}):
                    below = model.literals(upper, high.home, lambda s, t=threshold: s.pitches[0] <= t)
                    # The lowest threshold of those with the same upper notes below it says what the others say.
                    if len(below) > bound:
                        bound = len(below)
                        above = model.literals(lower, low.home, lambda s, t=threshold: s.top >= t)
                        model.cp.add(literal_sum(below) + literal_sum(above) <= 1)


def breaches(heard: Heard) -> list[Breach]:
    """Places where a lower part reaches an upper one that sounds."""
    found = []
    for upper, lower in ordered_pairs(heard.plan):
        for high in heard.of(upper):
            for low in heard.of(lower):
                together = low.onset < high.end and high.onset < low.end
                if together and low.top >= high.pitches[0]:
                    why = f"{note_name(high.pitches[0])} is not above {lower.name}'s {note_name(low.top)}"
                    found.append(Breach(NAME, upper.name, max(high.onset, low.onset), why))
    return found


RULE = Rule(NAME, breaches, post=post)
