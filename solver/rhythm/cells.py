"""One-bar rhythm cells: every way to place a part's notes in a bar, enumerated with python-constraint.

A cell is the tuple of its onsets in slots of one bar. It is found as a composition of the bar: a rest before the
first note, then the distances between neighbouring onsets, then what is left. Cells of two bars are pairs of these.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, inf

from solver.brief.plan import PartPlan, Plan
from solver.music.metre import Metre

Cell = tuple[int, ...]

# A plucking hand repeats a stroke about eight to ten times a second at most; common practice, no source.
SHORTEST_SECONDS = 0.1

# Kinds of cells that are remembered: those of a brief's parts, which a search asks for again and again. More would be
# kept for nothing, and one kind may be a hundred thousand cells.
KEPT = 8


@lru_cache(maxsize=2 * KEPT)
def compositions(grid: int, count: int, shortest: int) -> tuple[Cell, ...]:
    """All onset tuples of ``count`` notes in a bar of ``grid`` slots, neighbours at least ``shortest`` slots apart."""
    if count == 0:
        return ((),)
    from constraint import ExactSumConstraint, Problem

    problem = Problem()
    gaps = [f"gap {index}" for index in range(1, count)]
    problem.addVariable("before", list(range(grid)))
    for gap in gaps:
        problem.addVariable(gap, list(range(shortest, grid + 1)))
    problem.addVariable("after", list(range(1, grid + 1)))
    problem.addConstraint(ExactSumConstraint(grid), ["before", *gaps, "after"])
    found = []
    for solution in problem.getSolutions():
        onset = solution["before"]
        onsets = [onset]
        for gap in gaps:
            onset += solution[gap]
            onsets.append(onset)
        found.append(tuple(onsets))
    return tuple(sorted(found))


def shortest_gap(plan: Plan, part: PartPlan) -> int:
    """Least distance of neighbouring onsets in slots: an eighth where the density allows it, never too fast to play."""
    metre = plan.metre
    slot_seconds = float(metre.quarters_per_bar) / metre.grid * 60 / plan.tempo
    playable = max(1, ceil(SHORTEST_SECONDS / slot_seconds - 1e-9))
    eighth = max(1, round(metre.grid / float(metre.quarters_per_bar) / 2))
    # A bar as full as the brief asks for must still fit.
    fits = max(1, metre.grid // max(1, part.notes_per_bar[0]))
    return max(1, min(max(playable, eighth), fits))


def weak_onsets(cell: Cell, metre: Metre) -> int:
    """How many onsets lie on the metre's weakest level."""
    weakest = min(metre.weights)
    return sum(1 for onset in cell if metre.weights[onset] == weakest)


def fewest_weak(metre: Metre, count: int, shortest: int) -> float:
    """The fewest onsets on the metre's weakest level of ``count`` notes in a bar, neighbours at least ``shortest``
    slots apart; infinite where they do not fit."""
    weakest = min(metre.weights)
    fewest = [0.0] * (metre.grid + 1)  # by the slots that have been looked at
    for _ in range(count):
        before, fewest = fewest, [inf]
        for slot, weight in enumerate(metre.weights):
            placed = before[max(0, slot + 1 - shortest)] + (weight == weakest)
            fewest.append(min(fewest[-1], placed))
    return fewest[-1]


def cells_for(plan: Plan, part: PartPlan) -> tuple[Cell, ...]:
    """Every cell a part may use: as many notes as ``notes_per_bar`` allows, few of them on the weakest slots."""
    return cells_of(plan.metre, part.notes_per_bar, shortest_gap(plan, part))


@lru_cache(maxsize=KEPT)
def cells_of(metre: Metre, notes_per_bar: tuple[int, int], gap: int) -> tuple[Cell, ...]:
    """Every cell of that many notes, neighbours at least ``gap`` slots apart."""
    low, high = notes_per_bar
    found: list[Cell] = []
    for count in range(low, min(high, metre.grid) + 1):
        every = compositions(metre.grid, count, gap)
        # At most a third of the notes on the weakest level: more is a run of off-beats that loses the beat
        # (common practice, no source). Where a dense bar leaves no choice the limit is off.
        calm = [cell for cell in every if 3 * weak_onsets(cell, metre) <= max(3, len(cell))]
        found.extend(calm or every)
    return tuple(found)
