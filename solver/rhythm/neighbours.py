"""Rhythms near one: the same, and the same but for one bar of one part."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from random import Random

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.held import Held
from solver.rhythm.lines import family
from solver.rhythm.skeleton import Onsets, Skeleton, skeleton_from
from solver.rules import every_rule

LINES = 8  # rhythms looked at for each bar


def neighbours(plan: Plan, arrangement: Arrangement, seed: int) -> Iterator[Skeleton]:
    """The arrangement's own rhythm, then such in which one bar of one part is another, in an order of the seed's.

    In a repeat a bar is one of the statement, and changes in all of them.
    """
    onsets = {part.name: _onsets(arrangement, part) for part in plan.parts}
    yield skeleton_from(plan, onsets)
    random = Random(f"{seed} near")
    places = [(part, bar) for part in plan.parts for bar in range(part.repeat_every or plan.bars)]
    random.shuffle(places)
    for part, bar in places:
        for line in _other_lines(plan, part, arrangement, bar, random):
            together = onsets | {part.name: line}
            if line != onsets[part.name] and _go_together(plan, together):
                yield skeleton_from(plan, together)
                break


def _onsets(arrangement: Arrangement, part: PartPlan) -> Onsets:
    return tuple(stroke[0].onset for stroke in arrangement.strokes(part.name))


def _other_lines(plan: Plan, part: PartPlan, arrangement: Arrangement, bar: int, random: Random) -> list[Onsets]:
    """Lines of the part that have its rhythm everywhere but in one bar, in the order of their marks."""
    grid, statement = plan.metre.grid, part.repeat_every or plan.bars
    notes = arrangement.part(part.name)
    held = []
    for start in (other * grid for other in range(plan.bars) if other % statement != bar):
        # One slot long: how long the notes last is for the new neighbours to say.
        short = tuple(replace(note, length=1) for note in notes if start <= note.onset < start + grid)
        held.append(Held(part.name, start, start + grid, "rhythm", short, "the rhythm nearby"))
    lines = family(replace(plan, held=(*plan.held, *held)), part).draw(LINES, random)
    return [line.onsets for line in lines if not line.refused]


def _go_together(plan: Plan, onsets: Mapping[str, Onsets]) -> bool:
    return all(rule.admits_together(plan, onsets) for rule in every_rule() if rule.admits_together is not None)
