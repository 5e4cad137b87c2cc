"""Parts keep their order from high to low and never sound the same pitch at once.

A struck-chord part stays under every lead and over every low part and may enclose the others. Notes count as long
as they sound, the ring of a broken chord included.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel
    from solver.search.moves import Literal
    from solver.search.state import State

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
        lows = model.skeleton.slots[lower.name]
        onsets, longest = [low.onset for low in lows], max((low.end - low.onset for low in lows), default=0)
        for high in model.skeleton.slots[upper.name]:
            model.go_on()
            for low in lows[bisect_right(onsets, high.onset - longest) : bisect_left(onsets, high.end)]:
                key = (upper.name, high.home, lower.name, low.home)
                if low.end > high.onset and key not in seen:
                    seen.add(key)
                    _keep_apart(model, model.states_with_literals(upper, high.home), model.by_top(lower, low.home))


def _keep_apart(model: PitchModel, highs: Iterable[tuple[State, Literal]], lows: Mapping[int, list[Literal]]) -> None:
    above = [literal for literals in lows.values() for literal in literals]
    by_lowest = [(state.pitches[0], literal) for state, literal in highs]
    bound = 0
    for threshold, here in lows.items():
        below = [literal for lowest, literal in by_lowest if lowest <= threshold]
        # The lowest threshold of those with the same upper notes below it says what the others say.
        if len(below) > bound:
            bound = len(below)
            model.cp.add(literal_sum(below) + literal_sum(above) <= 1)
        above = above[len(here) :]


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
