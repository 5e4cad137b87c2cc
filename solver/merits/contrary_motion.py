"""Lead and low part go opposite ways.

Unit: strong beats on which both start a note, one coming from above and one from below. The best is all strong beats
on which both start one, at least one. Huron 2001 (Music Perception 19(1) 1-64): lines stay apart by avoiding similar
motion. Outer voices of chorales have more contrary motion than others, and more similar motion too: so it is rewarded,
and similar motion is no worse than oblique (tests/outside/ranking).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Onsets, Reward
from solver.merits.motif_returns import direction
from solver.rules.rule import literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "lead and low go their own ways"


def pair(plan: Plan) -> tuple[PartPlan, PartPlan] | None:
    """The highest lead and the lowest part, if there are both."""
    leads = plan.with_role("lead")
    return (leads[0], plan.bass) if leads and plan.bass is not None else None


def meetings(plan: Plan, upper: Onsets, lower: Onsets) -> Iterator[tuple[int, int]]:
    """Index pairs of notes that start together on a strong beat, each with a note before (around the loop)."""
    index_of = {onset: index for index, onset in enumerate(lower)}
    if len(upper) > 1 and len(lower) > 1:
        for index, onset in enumerate(upper):
            if onset in index_of and onset % plan.metre.grid in plan.metre.strong:
                yield index, index_of[onset]


def _ways(heard: Heard) -> list[int]:
    """For each meeting: 1 contrary, -1 the same way, 0 where one of them stays."""
    parts = pair(heard.plan)
    if parts is None:
        return []
    upper, lower = (heard.of(part) for part in parts)
    ways = []
    for i, j in meetings(heard.plan, heard.onsets[parts[0].name], heard.onsets[parts[1].name]):
        product = direction(upper[i - 1].top, upper[i].top) * direction(lower[j - 1].top, lower[j].top)
        ways.append(-product)
    return ways


def measure(heard: Heard) -> int:
    """Contrary meetings."""
    return _ways(heard).count(1)


def best(heard: Heard) -> int:
    """All meetings; at least one, so that lines that never start together have no points here."""
    return max(1, len(_ways(heard)))


def reward(model: PitchModel) -> Reward:
    """A literal for each meeting, shared by repeats, that may only be true where both go opposite ways."""
    total = Reward()
    parts = pair(model.plan)
    if parts is None:
        return total
    upper, lower = parts
    slots = model.skeleton.slots
    count: dict[tuple[int, int, int, int], int] = {}
    onsets = model.skeleton.onsets
    for i, j in meetings(model.plan, onsets[upper.name], onsets[lower.name]):
        key = (
            slots[upper.name][i - 1].home,
            slots[upper.name][i].home,
            slots[lower.name][j - 1].home,
            slots[lower.name][j].home,
        )
        count[key] = count.get(key, 0) + 1
    for (a, b, c, d), times in count.items():
        high, low = model.arcs_between(upper, a, b), model.arcs_between(lower, c, d)
        goes = {way: literal_sum(x.literal for x in high if direction(x.a.top, x.b.top) == way) for way in (-1, 0, 1)}
        walks = {way: literal_sum(x.literal for x in low if direction(x.a.top, x.b.top) == way) for way in (-1, 0, 1)}
        contrary = model.cp.new_bool_var("")
        for way in (-1, 1):
            model.cp.add(contrary + goes[way] <= 1 + walks[-way])
            model.cp.add(contrary + walks[way] <= 1 + goes[-way])
        model.cp.add(contrary + goes[0] <= 1)
        model.cp.add(contrary + walks[0] <= 1)
        total.add(times, contrary)
    return total


def sentence(heard: Heard) -> str:
    """How often they part."""
    ways = _ways(heard)
    if not ways:
        return "lead and low part never start a note together on a strong beat"
    return (
        f"where both start a note on a strong beat "
        f"they come from opposite ways {ways.count(1)} times and from the same way {ways.count(-1)} times"
    )


MERIT = Merit(NAME, lambda plan: pair(plan) is not None, measure, best, sentence, reward)
