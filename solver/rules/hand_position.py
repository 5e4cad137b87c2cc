"""A hand can play it: a line stays in one hand position per phrase of two bars, open strings allowed.

Phrases are counted within a statement where the part repeats. A position covers ``hand_span`` frets on every string
(four adjacent frets, a finger each, is the textbook rule; see shared/instruments.toml for the spans used).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.fretboard import positions, reach
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "each phrase lies under one hand"
PHRASE_BARS = 2


def applies(part: PartPlan) -> bool:
    """Lines only: a broken chord's hand and a voicing's hand are rules of their own."""
    return part.is_line and not part.rings


def phrase_of(plan: Plan, part: PartPlan, slot: int) -> int:
    """The first bar of the phrase in which a slot lies, counted from the loop's start."""
    statement = (part.repeat_every or plan.bars) * plan.metre.grid
    first, within = slot - slot % statement, slot % statement
    phrase = PHRASE_BARS * plan.metre.grid
    return (first + within - within % phrase) // plan.metre.grid


def post(model: PitchModel) -> None:
    """One literal per phrase and position; a pitch implies a position that reaches it."""
    plan = model.plan
    for part in plan.parts:
        if not applies(part):
            continue
        phrases: dict[int, set[int]] = {}
        for slot in model.skeleton.slots[part.name]:
            phrases.setdefault(phrase_of(plan, part, slot.onset), set()).add(slot.home)
        for homes in sorted({tuple(sorted(homes)) for homes in phrases.values()}):
            hands = {position: model.cp.new_bool_var("") for position in positions(part.instrument)}
            reaches = {position: reach(part.instrument, position) for position in hands}
            model.cp.add_exactly_one(hands.values())
            for home in homes:
                for pitch, lines in model.by_top(part, home).items():
                    fitting = [literal for position, literal in hands.items() if pitch in reaches[position]]
                    if len(fitting) < len(hands):
                        model.cp.add(literal_sum(lines) <= literal_sum(fitting))


def breaches(heard: Heard) -> list[Breach]:
    """Phrases that no position reaches."""
    plan, found = heard.plan, []
    for part in plan.parts:
        if not applies(part):
            continue
        phrases: dict[int, list] = {}
        for stroke in heard.of(part):
            phrases.setdefault(phrase_of(plan, part, stroke.onset), []).append(stroke)
        for strokes in phrases.values():
            pitches = {pitch for stroke in strokes for pitch in stroke.pitches}
            if not any(pitches <= reach(part.instrument, position) for position in positions(part.instrument)):
                why = f"no hand position on {part.instrument.name} reaches this phrase's notes"
                found.append(Breach(NAME, part.name, strokes[0].onset, why))
    return found


RULE = Rule(NAME, breaches, post=post)
