"""Motifs come back: bars of a statement take up the rhythm of an earlier bar, and its contour.

Unit: moves that go the same way (up, down, level) as in the first bar with the same onsets. The best is all moves
within the statement's bars after its first, so that a rhythm in which nothing comes back has few points: that tells
tunes from a bar of another tune in their place (tests/outside/ranking). Common practice, no source
(that repeated motifs help recall: Janssen, Burgoyne and Honing 2017, Front. Psychol. 8:621).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Onsets, Reward
from solver.rules.rule import literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "motifs come back"


def comebacks(plan: Plan, part: PartPlan, onsets: Onsets) -> Iterator[tuple[int, int]]:
    """Pairs of note indices (first bar, later bar) in the first statement whose moves to the next note should match."""
    bars: dict[int, list[int]] = {}
    for index, onset in enumerate(onsets):
        bars.setdefault(plan.bar_of(onset), []).append(index)
    first_with: dict[tuple[int, ...], list[int]] = {}
    for bar in range(part.repeat_every or plan.bars):
        indices = bars.get(bar, [])
        cell = tuple(onsets[index] % plan.metre.grid for index in indices)
        model = first_with.setdefault(cell, indices)
        if model is not indices:
            yield from zip(model[:-1], indices[:-1], strict=True)


def most(plan: Plan, part: PartPlan, onsets: Onsets) -> int:
    """Moves within the bars of the first statement after its first: those that could all come back."""
    grid = plan.metre.grid
    last = (part.repeat_every or plan.bars) * grid
    return sum(a // grid == b // grid for a, b in pairwise(onsets) if a >= grid and b < last)


def direction(a: int, b: int) -> int:
    """-1, 0 or 1: down, level, up."""
    return (b > a) - (b < a)


def _counts(heard: Heard) -> tuple[int, int]:
    same = total = 0
    for part in heard.plan.with_role("lead"):
        strokes = heard.of(part)
        for one, other in comebacks(heard.plan, part, tuple(stroke.onset for stroke in strokes)):
            total += 1
            same += direction(strokes[one].top, strokes[one + 1].top) == direction(
                strokes[other].top, strokes[other + 1].top
            )
    return same, total


def measure(heard: Heard) -> int:
    """Moves that match."""
    return _counts(heard)[0]


def best(heard: Heard) -> int:
    """All moves after the first bar; at least one, so that a lead whose rhythm never comes back has no points here."""
    leads = heard.plan.with_role("lead")
    return sum(max(1, most(heard.plan, part, heard.onsets[part.name])) for part in leads)


def reward(model: PitchModel) -> Reward:
    """A literal per pair of moves that may only be true where both go the same way."""
    total = Reward()
    for part in model.plan.with_role("lead"):
        for one, other in comebacks(model.plan, part, model.skeleton.onsets[part.name]):
            first, later = model.arcs_between(part, one, one + 1), model.arcs_between(part, other, other + 1)
            if first is later:
                total.constant += 1
                continue
            same = model.cp.new_bool_var("")
            for way in (-1, 0, 1):
                goes = literal_sum(arc.literal for arc in first if direction(arc.a.top, arc.b.top) == way)
                follows = literal_sum(arc.literal for arc in later if direction(arc.a.top, arc.b.top) == way)
                model.cp.add(same + goes <= 1 + follows)
            total.add(1, same)
    return total


def sentence(heard: Heard) -> str:
    """How many match."""
    same, total = _counts(heard)
    if not total:
        return "no bar of the lead comes back within its statement"
    could = max(total, best(heard))
    return f"{same} of {could} moves of the lead that could come back go the way they went in a bar of the same rhythm"


MERIT = Merit(NAME, lambda plan: bool(plan.with_role("lead")), measure, best, sentence, reward, adds_up=True)
