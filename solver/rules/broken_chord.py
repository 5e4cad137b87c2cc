"""The figure "broken chord" uses only tones of the sounding chord, three different ones or more.

Three per chord's time, or as many as it has notes or the chord has tones where that is fewer. In a repeat the chord
is the first statement's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import BROKEN, PartPlan, Plan
from solver.heard import Heard, judging_chord
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Rule, literal_sum
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "a broken chord plays three tones of its chord"
TONES = 3


def applies(part: PartPlan) -> bool:
    """Lines with that figure."""
    return part.is_line and part.figure == BROKEN


def allows_state(plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    """Whether the note is a tone of the chord that it is judged against."""
    return not applies(part) or state.top % 12 in judging_chord(plan, part, slot).pcs


def post(model: PitchModel) -> None:
    """A literal per chord's time and pitch class that is played; at least three."""
    plan = model.plan
    for part in plan.parts:
        if not applies(part):
            continue
        for homes in model.held_together(part):
            chord = judging_chord(plan, part, model.skeleton.slots[part.name][homes[0]].onset)
            played = []
            for pc in sorted(chord.pcs):
                literals = [x for home in homes for x in model.literals(part, home, lambda s, pc=pc: s.top % 12 == pc)]
                tone = model.cp.new_bool_var("")
                model.cp.add(tone <= literal_sum(literals))
                played.append(tone)
            model.cp.add(literal_sum(played) >= min(TONES, len(homes), len(chord.pcs)))


def breaches(heard: Heard) -> list[Breach]:
    """Notes outside the chord, and chords of which too few tones are played."""
    plan, found = heard.plan, []
    for part in plan.parts:
        if not applies(part):
            continue
        held: dict[int, list] = {}
        for stroke in heard.of(part):
            held.setdefault(plan.hold_end(part, stroke.onset), []).append(stroke)
            chord = judging_chord(plan, part, stroke.onset)
            found.extend(
                Breach(NAME, part.name, stroke.onset, f"{note_name(pitch)} is no tone of {chord.symbol}")
                for pitch in stroke.pitches
                if pitch % 12 not in chord.pcs
            )
        for strokes in held.values():
            chord = judging_chord(plan, part, strokes[0].onset)
            tones = {pitch % 12 for stroke in strokes for pitch in stroke.pitches} & chord.pcs
            wanted = min(TONES, len(strokes), len(chord.pcs))
            if len(tones) < wanted:
                why = f"{len(tones)} different tones of {chord.symbol}, not {wanted} or more"
                found.append(Breach(NAME, part.name, strokes[0].onset, why))
    return found


RULE = Rule(NAME, breaches, allows_state=allows_state, post=post)
