"""The low part walks and moves on. Unit: its moves by scale step, and bars whose first low note is not the last bar's;
less the notes that only go back to where the line was two notes before in the bar, and less two for each note outside
the chord that is held through a strong beat, where it is heard as the chord's bass.

Common practice, no source; it is what makes a low part of a guitar piece a line and not a row of roots.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Onsets, Reward
from solver.rules.passing_notes import moves_by_step

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the low part walks and moves on"
OUTSIDE = 2  # a step that leads to such a note is worth less than none


def bar_starts(plan: Plan, onsets: Onsets) -> list[tuple[int, int]]:
    """Index pairs: the first note of a bar and the first note of the next bar that has one, around the loop."""
    firsts: dict[int, int] = {}
    for index, onset in enumerate(onsets):
        firsts.setdefault(plan.bar_of(onset), index)
    indices = list(firsts.values())
    return list(zip(indices, [*indices[1:], indices[0]], strict=True)) if len(indices) > 1 else []


def going_back(plan: Plan, onsets: Onsets) -> list[tuple[int, int]]:
    """Index pairs of notes two apart in one bar."""
    pairs = ((index, index + 2) for index in range(len(onsets) - 2))
    return [(i, j) for i, j in pairs if plan.bar_of(onsets[i]) == plan.bar_of(onsets[j])]


def held_over(plan: Plan, onset: int, end: int) -> bool:
    """Whether a note from ``onset`` to ``end`` (slots; the end is exclusive) is held through a strong beat."""
    grid, strong = plan.metre.grid, plan.metre.strong
    return any(slot % grid in strong for slot in range(onset + 1, min(end, plan.slots)))


def _outside(plan: Plan, onset: int, end: int, pitch: int) -> bool:
    return pitch % 12 not in plan.span_at(onset).chord.pcs and held_over(plan, onset, end)


def _counts(heard: Heard) -> tuple[int, int, int, int, int, int]:
    part = heard.plan.bass
    if part is None:
        return 0, 0, 0, 0, 0, 0
    strokes, moves = heard.of(part), list(heard.moves(part))
    steps = sum(moves_by_step(heard.plan, part, a.onset, a.top, b.onset, b.top) for a, b in moves)
    onsets = heard.onsets[part.name]
    bars = bar_starts(heard.plan, onsets)
    moved = sum(strokes[i].top != strokes[j].top for i, j in bars)
    back = sum(strokes[i].top == strokes[j].top for i, j in going_back(heard.plan, onsets))
    outside = sum(_outside(heard.plan, stroke.onset, stroke.end, stroke.top) for stroke in strokes)
    return steps, len(moves), moved, len(bars), back, outside


def measure(heard: Heard) -> int:
    """Steps, and bars that move on, less the notes that go back and those outside the chord that stay."""
    steps, _, moved, _, back, outside = _counts(heard)
    return steps + moved - back - OUTSIDE * outside


def best(heard: Heard) -> int:
    """All of both, and none of the others."""
    _, moves, _, bars, _, _ = _counts(heard)
    return max(1, moves + bars)


def reward(model: PitchModel) -> Reward:
    """Step arcs, and a literal per pair of notes that is true where both have the same pitch."""
    total = Reward()
    part = model.plan.bass
    if part is None:
        return total
    for move in model.moves(part):
        for arc in model.arcs(move):
            total.add(
                sum(moves_by_step(model.plan, part, a, arc.a.top, b, arc.b.top) for a, b in move.times), arc.literal
            )
    slots, onsets = model.skeleton.slots[part.name], model.skeleton.onsets[part.name]
    for i, j in bar_starts(model.plan, onsets):
        if slots[i].home != slots[j].home:
            total.add(-1, model.same_top(part, i, j))
            total.constant += 1
    for i, j in going_back(model.plan, onsets):
        total.add(-1, model.same_top(part, i, j))
    for slot in slots:
        for state, literal in model.states_with_literals(part, slot.home):
            total.add(-OUTSIDE * _outside(model.plan, slot.onset, slot.end, state.top), literal)
    return total


def sentence(heard: Heard) -> str:
    """Steps and bars."""
    steps, moves, moved, bars, back, outside = _counts(heard)
    return (
        f"{steps} of {moves} moves of the low part are steps, "
        f"{moved} of {bars} bars start on another note than the bar before, "
        f"notes that only go back: {back}, notes outside the chord that are held through a strong beat: {outside}"
    )


MERIT = Merit(NAME, lambda plan: plan.bass is not None, measure, best, sentence, reward, adds_up=True)
