"""Strong beats carry chord tones.

A note that starts on a strong beat is a chord tone. Where a repeat lies over another chord it is a tone of the first
statement's chord, and over the new chord a chord tone or a scale note that is not a semitone above one. The
background's own pitch class is exempt, as long as it is not a semitone above a chord tone. Chords and dyads are made
of chord tones throughout.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.heard import Heard, judging_chord
from solver.music.chords import Chord
from solver.music.pitch import note_name
from solver.rules.own_pitch_class import excuse, may_exempt
from solver.rules.rule import Breach, Rule, literal_sum
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "strong beats carry chord tones"


def applies(plan: Plan, part: PartPlan, slot: int) -> bool:
    """Whether the part's note at this slot has to be a chord tone."""
    return not part.is_line or slot % plan.metre.grid in plan.metre.strong


def is_fit(plan: Plan, part: PartPlan, slot: int, pitch: int) -> bool:
    """Whether a pitch may stand on a strong beat (the background's exemption apart)."""
    judged, sounding = judging_chord(plan, part, slot), plan.span_at(slot).chord
    if pitch % 12 not in judged.pcs:
        return False
    return judged.pcs == sounding.pcs or not rubs(pitch, sounding)


def rubs(pitch: int, chord: Chord) -> bool:
    """Whether a pitch is outside the chord and a semitone above one of its tones."""
    return pitch % 12 not in chord.pcs and (pitch - 1) % 12 in chord.pcs


def allows_state(plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    """Whether the state may start here; what only the background's exemption allows is settled by ``post``."""
    if not applies(plan, part, slot):
        return True
    return all(is_fit(plan, part, slot, pitch) or may_exempt(plan, part, slot, pitch) for pitch in state.pitches)


def post(model: PitchModel) -> None:
    """A background's strong note outside the chord implies that its pitch class is the background's own."""
    for part in model.plan.with_role("background"):
        if not part.is_line:
            continue
        for slot in model.skeleton.slots[part.name]:
            if not applies(model.plan, part, slot.onset):
                continue
            for pc in range(12):
                if is_fit(model.plan, part, slot.onset, pc):
                    continue
                foreign = model.literals(part, slot.index, lambda s, pc=pc: s.top % 12 == pc)
                if foreign:
                    own = model.own_pitch_class(part, model.plan.span_at(slot.onset), pc)
                    model.cp.add(literal_sum(foreign) <= own)


def excused(heard: Heard, part: PartPlan, span: ChordSpan) -> int | None:
    """The pitch class whose strong notes outside the chord are excused in a chord's time, as the part's own."""
    plan = heard.plan
    inside = (stroke for stroke in heard.of(part) if span.start <= stroke.onset < span.end)
    strong = (stroke for stroke in inside if applies(plan, part, stroke.onset))
    wanting = (stroke for stroke in strong if not is_fit(plan, part, stroke.onset, stroke.top))
    return excuse(heard, part, span, (s.top % 12 for s in wanting if may_exempt(plan, part, s.onset, s.top)))


def breaches(heard: Heard) -> list[Breach]:
    """Strong notes outside the chord."""
    plan, found = heard.plan, []
    for part in plan.parts:
        for stroke in heard.of(part):
            if not applies(plan, part, stroke.onset):
                continue
            span = plan.span_at(stroke.onset)
            for pitch in stroke.pitches:
                if is_fit(plan, part, stroke.onset, pitch):
                    continue
                if may_exempt(plan, part, stroke.onset, pitch) and pitch % 12 == excused(heard, part, span):
                    continue
                why = f"{note_name(pitch)} is no tone of {span.chord.symbol}"
                found.append(Breach(NAME, part.name, stroke.onset, why))
    return found


RULE = Rule(NAME, breaches, allows_state=allows_state, post=post)
