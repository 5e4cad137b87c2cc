"""How far apart two arrangements are, and what keeps a new one apart from others, or near one.

A note is (part, onset, pitch); the distance of two arrangements is 1 minus the common notes over the larger number of
notes, the least of it when one is shifted by an octave or by a slot (around the loop). Held notes do not count.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.motif_returns import direction

if TYPE_CHECKING:
    from solver.rhythm.skeleton import NoteSlot
    from solver.search.model import PitchModel

LEAST = 1 / 3  # any two arrangements of a take are at least this far apart
NEAR = (1 / 5, 1 / 3)  # how far one is from the arrangement that it is to be like
FAR = 1 / 2  # how far, at least, one is from all that it is to be unlike
SHIFTS = ((0, 0), (0, 12), (0, -12), (1, 0), (-1, 0))  # (slots, semitones)
ROUNDING = 1e-9

Placed = tuple[str, int, int]


@dataclass(frozen=True)
class Variety:
    """What a search's arrangements have to differ from.

    Each is at least ``least`` from those in ``seen`` and from each other. Where there is one to be ``near``, each is at
    most ``most`` from it, and leads may have one rhythm and contour.
    """

    seen: tuple[Arrangement, ...] = ()
    least: float = LEAST
    near: Arrangement | None = None
    most: float = 1.0


USUAL = Variety()


def is_free(plan: Plan, part: PartPlan, slot: int) -> bool:
    """Whether no lock decides the note that starts in a slot; in a repeat one of any statement decides all."""
    statement = (part.repeat_every or plan.bars) * plan.metre.grid
    same = [slot] if slot >= plan.tail_start(part) else range(slot % statement, plan.tail_start(part), statement)
    return not any(_is_decided(plan, part, other) for other in same)


def _is_decided(plan: Plan, part: PartPlan, slot: int) -> bool:
    aspects = {held.aspect for held in plan.held if held.part == part.name and held.start <= slot < held.end}
    return "notes" in aspects or {"rhythm", "pitch"} <= aspects


def free_notes(plan: Plan, arrangement: Arrangement) -> tuple[Note, ...]:
    """The notes that a search may choose."""
    if not plan.held:
        return arrangement.notes
    return tuple(note for part in plan.parts for note in arrangement.part(part.name) if is_free(plan, part, note.onset))


def shifted(plan: Plan, notes: Sequence[Note]) -> Iterator[frozenset[Placed]]:
    """The notes as (part, onset, pitch), as they are and shifted by an octave or a slot."""
    for slots, semitones in SHIFTS:
        yield frozenset((note.part, (note.onset + slots) % plan.slots, note.pitch + semitones) for note in notes)


def distance(plan: Plan, one: Arrangement, other: Arrangement) -> float:
    """0 (the same, or nothing is free) to 1 (nothing in common)."""
    ours, theirs = free_notes(plan, one), free_notes(plan, other)
    notes, size = next(shifted(plan, ours)), max(len(ours), len(theirs))
    if not size:
        return 0.0
    return 1 - max(len(notes & placed) for placed in shifted(plan, theirs)) / size


def leading(plan: Plan) -> PartPlan:
    """The part whose line tells arrangements apart: the highest lead, else the highest part."""
    return (plan.with_role("lead") or plan.by_rank)[0]


def lead_line(heard: Heard) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Rhythm and contour of the lead: its onsets, and the direction of each move around the loop."""
    part = leading(heard.plan)
    return heard.onsets[part.name], tuple(direction(a.top, b.top) for a, b in heard.moves(part))


def leads_differ(plan: Plan, variety: Variety) -> bool:
    """Whether each arrangement needs a lead line of its own: while the lead is free, and none is to be near another."""
    return variety.near is None and all(held.part != leading(plan).name for held in plan.held)


def is_apart(plan: Plan, new: Arrangement, accepted: Iterable[Arrangement], variety: Variety = USUAL) -> bool:
    """Whether an arrangement may stand beside others, and as far from those seen and as near as is asked."""
    others = (*variety.seen, *accepted)
    if variety.near is not None and distance(plan, new, variety.near) > variety.most + ROUNDING:
        return False
    line = lead_line(Heard(plan, new)) if leads_differ(plan, variety) else None
    return all(
        distance(plan, new, old) >= variety.least - ROUNDING and (line is None or line != lead_line(Heard(plan, old)))
        for old in others
    )


def post_apart(model: PitchModel, accepted: Iterable[Arrangement], variety: Variety = USUAL) -> None:
    """Hold a model's solutions to the same."""
    plan: Plan = model.plan
    onsets = model.skeleton.onsets[leading(plan).name]
    free = {
        part.name: [slot for slot in model.skeleton.slots[part.name] if is_free(plan, part, slot.onset)]
        for part in plan.parts
    }
    strokes = sum(len(slots) for slots in free.values())
    others = (*variety.seen, *accepted)
    if others and not strokes:
        model.cp.add_bool_or([])  # nothing is free to differ
    for old in others:
        notes = free_notes(plan, old)
        most = int(max(strokes, len(notes)) * (1 - variety.least) + ROUNDING)
        for placed in shifted(plan, notes):
            common = _common(model, free, placed)
            if len(common) > most:
                model.cp.add(sum(common) <= most)
        rhythm, contour = lead_line(Heard(plan, old))
        if leads_differ(plan, variety) and rhythm == onsets and contour:
            _post_contour(model, contour)
    if variety.near is not None:
        _post_near(model, free, variety)


def _common(model: PitchModel, free: Mapping[str, Sequence[NoteSlot]], placed: frozenset[Placed]) -> list[Any]:
    """Terms whose sum is the number of common notes."""
    terms = []
    for part in model.plan.parts:
        for slot in free[part.name]:
            for state, literal in model.states_with_literals(part, slot.home):
                common = sum((part.name, slot.onset, pitch) in placed for pitch in state.pitches)
                if common:
                    terms.append(common * literal)
    return terms


def _post_near(model: PitchModel, free: Mapping[str, Sequence[NoteSlot]], variety: Variety) -> None:
    """So many notes are common, of the old notes as of the new ones."""
    assert variety.near is not None
    old = free_notes(model.plan, variety.near)
    common = sum(_common(model, free, next(shifted(model.plan, old))))
    share = Fraction(1 - variety.most).limit_denominator(100)
    new = sum(
        len(state.pitches) * literal
        for part in model.plan.parts
        for slot in free[part.name]
        for state, literal in model.states_with_literals(part, slot.home)
    )
    model.cp.add(share.denominator * common >= share.numerator * len(old))
    model.cp.add(share.denominator * common >= share.numerator * new)


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
