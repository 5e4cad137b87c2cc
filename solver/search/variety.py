"""How far apart two arrangements are, and what keeps a new one apart from those in hand.

A note is (part, onset, pitch); the distance of two arrangements is 1 minus the common notes over the larger number of
notes, the least of it when one is shifted by an octave or by a slot (around the loop).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.motif_returns import direction

if TYPE_CHECKING:
    from solver.search.model import PitchModel

LEAST = 1 / 3  # any two arrangements of a take are at least this far apart
SHIFTS = ((0, 0), (0, 12), (0, -12), (1, 0), (-1, 0))  # (slots, semitones)

Placed = tuple[str, int, int]


def shifted(plan: Plan, arrangement: Arrangement) -> Iterator[frozenset[Placed]]:
    """The notes as (part, onset, pitch), as they are and shifted by an octave or a slot."""
    for slots, semitones in SHIFTS:
        yield frozenset(
            (note.part, (note.onset + slots) % plan.slots, note.pitch + semitones) for note in arrangement.notes
        )


def distance(plan: Plan, one: Arrangement, other: Arrangement) -> float:
    """0 (the same) to 1 (nothing in common)."""
    notes = next(shifted(plan, one))
    size = max(len(one.notes), len(other.notes), 1)
    return 1 - max(len(notes & placed) for placed in shifted(plan, other)) / size


def leading(plan: Plan) -> PartPlan:
    """The part whose line tells arrangements apart: the highest lead, else the highest part."""
    return (plan.with_role("lead") or plan.by_rank)[0]


def lead_line(heard: Heard) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Rhythm and contour of the lead: its onsets, and the direction of each move around the loop."""
    part = leading(heard.plan)
    return heard.onsets[part.name], tuple(direction(a.top, b.top) for a, b in heard.moves(part))


def is_apart(plan: Plan, new: Arrangement, accepted: list[Arrangement]) -> bool:
    """Whether an arrangement may stand beside others: far enough from each, and with a lead line of its own."""
    line = lead_line(Heard(plan, new))
    return all(distance(plan, new, old) >= LEAST and line != lead_line(Heard(plan, old)) for old in accepted)


def post_apart(model: PitchModel, accepted: list[Arrangement]) -> None:
    """Keep a model's solutions apart from the arrangements in hand."""
    plan: Plan = model.plan
    onsets = model.skeleton.onsets[leading(plan).name]
    for old in accepted:
        size = max(model.skeleton.notes, len(old.notes))
        for placed in shifted(plan, old):
            _post_common(model, placed, size)
        rhythm, contour = lead_line(Heard(plan, old))
        if rhythm == onsets and contour:
            _post_contour(model, contour)


def _post_common(model: PitchModel, placed: frozenset[Placed], size: int) -> None:
    terms = []
    for part in model.plan.parts:
        for slot in model.skeleton.slots[part.name]:
            for state, literal in model.states_with_literals(part, slot.home):
                common = sum((part.name, slot.onset, pitch) in placed for pitch in state.pitches)
                if common:
                    terms.append(common * literal)
    most = int(size * (1 - LEAST) + 1e-9)
    if len(terms) > most:
        model.cp.add(sum(terms) <= most)


def _post_contour(model: PitchModel, contour: tuple[int, ...]) -> None:
    part = leading(model.plan)
    slots = model.skeleton.slots[part.name]
    same = [
        arc.literal
        for index, way in enumerate(contour)
        for arc in model.arcs_between(part, index, (index + 1) % len(slots))
        if direction(arc.a.top, arc.b.top) == way
    ]
    model.cp.add(sum(same) <= len(contour) - 1)
