"""A part's notes as they are written: cut at bar lines, in note values, with rests between them."""

from __future__ import annotations

from dataclasses import dataclass

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.export.score.values import Tuplet, Value, tuplets_in, values_of


@dataclass(frozen=True)
class Written:
    """One value on paper: the notes that it shows (none: a rest), and whether ties lead to it and away from it."""

    value: Value
    notes: tuple[Note, ...] = ()
    tied_from: bool = False
    tied_to: bool = False
    whole_bar: bool = False


@dataclass(frozen=True)
class _Stroke:
    """Notes that start together, in slots of the loop."""

    start: int
    end: int
    notes: tuple[Note, ...]


def written_bars(plan: Plan, part: PartPlan, arrangement: Arrangement) -> list[tuple[Written, ...]]:
    """What stands in each bar of a part, in order of time.

    A stroke is written as long as its longest note, up to the next stroke of its part: in a broken chord, whose
    strings ring on, that is where the next string is played.
    """
    strokes = _strokes(plan, arrangement, part.name)
    return [_bar(plan, bar, strokes) for bar in range(plan.bars)]


def _strokes(plan: Plan, arrangement: Arrangement, name: str) -> list[_Stroke]:
    groups = [group for group in arrangement.strokes(name) if group[0].onset < plan.slots]
    nexts = [*(group[0].onset for group in groups[1:]), plan.slots][: len(groups)]
    return [
        _Stroke(group[0].onset, min(max(note.end for note in group), following), group)
        for group, following in zip(groups, nexts, strict=True)
    ]


def _bar(plan: Plan, bar: int, strokes: list[_Stroke]) -> tuple[Written, ...]:
    grid = plan.metre.grid
    first, last = bar * grid, (bar + 1) * grid
    inside = [stroke for stroke in strokes if stroke.start < last and stroke.end > first]
    if not inside:
        return (Written(Value(0, grid, "whole", 0), whole_bar=True),)
    edges = {max(stroke.start, first) - first for stroke in inside} | {
        min(stroke.end, last) - first for stroke in inside
    }
    tuplets = tuplets_in(plan.metre, edges)
    found: list[Written] = []
    at = first
    for stroke in inside:
        found += _rest(plan, at - first, max(stroke.start, first) - first, tuplets)
        found += _tied(plan, stroke, first, last, tuplets)
        at = min(stroke.end, last)
    return (*found, *_rest(plan, at - first, grid, tuplets))


def _rest(plan: Plan, start: int, end: int, tuplets: tuple[Tuplet, ...]) -> list[Written]:
    return [Written(value) for value in values_of(plan.metre, start, end, tuplets, rest=True)] if start < end else []


def _tied(plan: Plan, stroke: _Stroke, first: int, last: int, tuplets: tuple[Tuplet, ...]) -> list[Written]:
    """What a bar shows of a stroke: values tied to each other, and over the bar lines."""
    start, end = max(stroke.start, first), min(stroke.end, last)
    values = values_of(plan.metre, start - first, end - first, tuplets)
    return [
        Written(
            value,
            stroke.notes,
            tied_from=first + value.start > stroke.start,
            tied_to=first + value.end < stroke.end,
        )
        for value in values
    ]
