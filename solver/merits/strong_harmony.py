"""Chord tones carry the metre: the stronger a note's slot, the more it counts to be in the chord.

Unit: metrical weight (levels above the weakest, at least 1; levels after Longuet-Higgins and Lee 1984) of strokes whose
top is a tone of the sounding chord, and 4 for each chord that the low part starts on its bass note.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Reward

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "chord tones carry the metre"
BASS = 4


def weight(plan: Plan, slot: int) -> int:
    """How much a note at this slot counts."""
    on_beat = slot % plan.metre.grid in plan.metre.beats
    return on_beat * (1 - min(plan.metre.weights) - plan.metre.level(slot))


def measure(heard: Heard) -> int:
    """Weights of notes in the chord, and of basses in place."""
    plan, bass, total = heard.plan, heard.plan.bass, 0
    starts = {span.start for span in plan.spans}
    for part in plan.parts:
        for stroke in heard.of(part):
            chord = plan.span_at(stroke.onset).chord
            total += weight(plan, stroke.onset) * (stroke.top % 12 in chord.pcs)
            if bass is not None and part.name == bass.name and stroke.onset in starts:
                total += BASS * (stroke.pitches[0] % 12 == chord.bass.pc)
    return total


def best(heard: Heard) -> int:
    """Everything in the chord."""
    plan, bass, total = heard.plan, heard.plan.bass, 0
    starts = {span.start for span in plan.spans}
    for part in plan.parts:
        for stroke in heard.of(part):
            total += weight(plan, stroke.onset)
            total += BASS * (bass is not None and part.name == bass.name and stroke.onset in starts)
    return total


def reward(model: PitchModel) -> Reward:
    """A coefficient on each state."""
    plan, bass, total = model.plan, model.plan.bass, Reward()
    starts = {span.start for span in plan.spans}
    for part in plan.parts:
        for slot in model.skeleton.slots[part.name]:
            chord = plan.span_at(slot.onset).chord
            for state, literal in model.states_with_literals(part, slot.home):
                points = weight(plan, slot.onset) * (state.top % 12 in chord.pcs)
                if bass is not None and part.name == bass.name and slot.onset in starts:
                    points += BASS * (state.pitches[0] % 12 == chord.bass.pc)
                total.add(points, literal)
    return total


def sentence(heard: Heard) -> str:
    """How much is outside."""
    plan = heard.plan
    strokes = [stroke for part in plan.parts for stroke in heard.of(part)]
    outside = sum(stroke.top % 12 not in plan.span_at(stroke.onset).chord.pcs for stroke in strokes)
    return (
        f"{len(strokes) - outside} of {len(strokes)} notes are chord tones, "
        "the rest lies off the strong beats or is the background's own"
    )


MERIT = Merit(NAME, lambda plan: True, measure, best, sentence, reward, adds_up=True)
