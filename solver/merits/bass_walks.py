"""The low part walks and varies. Unit: its moves by scale step, and its different pitches up to eight.

Common practice, no source; that lower lines walk by step is also what makes a low part of a guitar piece singable.
"""

from __future__ import annotations

from solver.heard import Heard
from solver.merits.merit import Merit, Reward
from solver.rules.passing_notes import moves_by_step
from solver.rules.rule import literal_sum

NAME = "the low part walks and varies"
PITCHES = 8


def _counts(heard: Heard) -> tuple[int, int, int]:
    part = heard.plan.bass
    if part is None:
        return 0, 0, 0
    moves = list(heard.moves(part))
    steps = sum(moves_by_step(heard.plan, part, a.onset, a.top, b.onset, b.top) for a, b in moves)
    return steps, len(moves), len({stroke.top for stroke in heard.of(part)})


def measure(heard: Heard) -> int:
    """Steps and different pitches."""
    steps, _, pitches = _counts(heard)
    return steps + min(PITCHES, pitches)


def best(heard: Heard) -> int:
    """All moves are steps, over as many pitches as count."""
    _, moves, _ = _counts(heard)
    return moves + min(PITCHES, max(1, moves))


def reward(model) -> Reward:  # noqa: ANN001
    """Step arcs, and a literal per pitch that may only be true where it is used."""
    total = Reward()
    part = model.plan.bass
    if part is None:
        return total
    for move in model.moves(part):
        for arc in model.arcs(move):
            total.add(sum(moves_by_step(model.plan, part, a, arc.a.top, b, arc.b.top) for a, b in move.times), arc.literal)
    homes = sorted({slot.home for slot in model.skeleton.slots[part.name]})
    used = []
    for pitch in sorted({state.top for home in homes for state in model.states(part, home)}):
        literals = [x for home in homes for x in model.literals(part, home, lambda s, p=pitch: s.top == p)]
        used.append(model.cp.new_bool_var(""))
        model.cp.add(used[-1] <= literal_sum(literals))
    different = model.cp.new_int_var(0, PITCHES, "")
    model.cp.add(different <= literal_sum(used))
    total.add(1, different)
    return total


def sentence(heard: Heard) -> str:
    """Steps and pitches."""
    steps, moves, pitches = _counts(heard)
    return f"{steps} of {moves} moves of the low part are steps, over {pitches} different pitches"


MERIT = Merit(NAME, lambda plan: plan.bass is not None, measure, best, sentence, reward)
