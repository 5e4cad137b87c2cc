"""A note outside the chord comes and goes by step.

Judged against the first statement's chord in a repeat. The background's own pitch class is exempt, as long as it is
not a semitone above a chord tone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.heard import Heard, Stroke, judging_chord, judging_scale
from solver.music.pitch import note_name
from solver.music.scales import is_step
from solver.rules import strong_beats
from solver.rules.own_pitch_class import excuse, may_exempt
from solver.rules.rule import Breach, Rule, literal_sum
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "notes outside the chord come and go by step"


def moves_by_step(plan: Plan, part: PartPlan, slot_a: int, a: int, slot_b: int, b: int) -> bool:
    """Whether b is a's neighbour in the scale under either of the two notes."""
    return any(is_step(a, b, judging_scale(plan, part, slot)) for slot in (slot_a, slot_b))


def is_outside(plan: Plan, part: PartPlan, slot: int, pitch: int) -> bool:
    """Whether a pitch is no tone of the chord against which it is judged."""
    return pitch % 12 not in judging_chord(plan, part, slot).pcs


def allows_move(plan: Plan, part: PartPlan, slot_a: int, a: State, slot_b: int, b: State) -> bool:
    """Whether a line may go from a to b; what only the background's exemption allows is settled by ``post``."""
    if not part.is_line or moves_by_step(plan, part, slot_a, a.top, slot_b, b.top):
        return True
    return all(
        not is_outside(plan, part, slot, state.top) or may_exempt(plan, part, slot, state.top)
        for slot, state in ((slot_a, a), (slot_b, b))
    )


def post(model: PitchModel) -> None:
    """Where a background's foreign note is not reached or left by step, its pitch class is the background's own.

    A part's only note moves nowhere, so it is held to the same without any arc.
    """
    plan = model.plan
    for part in plan.parts:
        if part.is_line and len(model.skeleton.slots[part.name]) == 1:
            _post_only_note(model, part)
    for part in plan.with_role("background"):
        if not part.is_line:
            continue
        for move in model.moves(part):
            for slot_a, slot_b in move.times:
                for end, slot in ((0, slot_a), (1, slot_b)):
                    span = plan.span_at(slot)
                    for pc in range(12):
                        loose = [
                            arc.literal
                            for arc in model.arcs(move)
                            if (arc.a, arc.b)[end].top % 12 == pc
                            and is_outside(plan, part, slot, pc)
                            and not moves_by_step(plan, part, slot_a, arc.a.top, slot_b, arc.b.top)
                        ]
                        if loose:
                            model.cp.add(literal_sum(loose) <= model.own_pitch_class(part, span, pc))


def _post_only_note(model: PitchModel, part: PartPlan) -> None:
    (slot,) = model.skeleton.slots[part.name]
    for state, literal in model.states_with_literals(part, slot.home):
        if not is_outside(model.plan, part, slot.onset, state.top):
            continue
        if may_exempt(model.plan, part, slot.onset, state.top):
            span = model.plan.span_at(slot.onset)
            model.cp.add_implication(literal, model.own_pitch_class(part, span, state.top % 12))
        else:
            model.cp.add_bool_or(literal.negated())


def loose(heard: Heard, part: PartPlan) -> list[Stroke]:
    """The part's notes outside the chord that are left or reached by a leap or a repetition."""
    plan, strokes, found = heard.plan, heard.of(part), []
    for index, stroke in enumerate(strokes):
        around = ((strokes[index - 1], stroke), (stroke, strokes[(index + 1) % len(strokes)]))
        by_step = all(moves_by_step(plan, part, a.onset, a.top, b.onset, b.top) for a, b in around)
        if is_outside(plan, part, stroke.onset, stroke.top) and not by_step:
            found.append(stroke)
    return found


def excused(heard: Heard, part: PartPlan, span: ChordSpan) -> int | None:
    """The pitch class whose loose notes are excused in a chord's time: the one that strong notes need, if they do."""
    strong = strong_beats.excused(heard, part, span)
    if strong is not None:
        return strong
    inside = (stroke for stroke in loose(heard, part) if span.start <= stroke.onset < span.end)
    return excuse(heard, part, span, (s.top % 12 for s in inside if may_exempt(heard.plan, part, s.onset, s.top)))


def breaches(heard: Heard) -> list[Breach]:
    """Notes outside the chord that are left or reached by a leap or a repetition."""
    plan, found = heard.plan, []
    for part in plan.parts:
        if not part.is_line:
            continue
        for stroke in loose(heard, part):
            exempt = may_exempt(plan, part, stroke.onset, stroke.top)
            if exempt and stroke.top % 12 == excused(heard, part, plan.span_at(stroke.onset)):
                continue
            name = note_name(stroke.top)
            found.append(Breach(NAME, part.name, stroke.onset, f"{name} is outside the chord and not passed by step"))
    return found


RULE = Rule(NAME, breaches, allows_move=allows_move, post=post)
