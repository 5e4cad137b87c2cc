"""A broken chord is a held shape played string by string.

While a chord lasts the hand stays: each string has one fret, the strings that are used are neighbours, and the
fretted ones lie within the hand's span. So every string rings on until it is played again or the chord changes.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.fretboard import FINGERS, Place, Voicing, assign_strings, fingers, pitch_at
from solver.music.instruments import Instrument
from solver.rules.rule import Breach, Rule, literal_sum
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "a broken chord is one held shape"


def allows_move(plan: Plan, part: PartPlan, slot_a: int, a: State, slot_b: int, b: State) -> bool:
    """Within one chord's time two notes are the same place or places that one hand can hold together."""
    if not part.rings or plan.hold_end(part, slot_a) != plan.hold_end(part, slot_b) or a == b:
        return True
    (string_a, fret_a), (string_b, fret_b) = _place(a), _place(b)
    return string_a != string_b and _fits(part.instrument, fret_a, fret_b)


def _place(state: State) -> tuple[int, int]:
    if state.places is None:
        raise ValueError("a broken chord's state needs a string and a fret")
    return state.places[0]


def _fits(instrument: Instrument, *frets: int) -> bool:
    fretted = [fret for fret in frets if fret > 0]
    return not fretted or max(fretted) - min(fretted) < instrument.hand_span


def post(model: PitchModel) -> None:
    """A literal per chord's time, string and fret that the hand holds."""
    cp = model.cp
    for part in model.plan.parts:
        if not part.rings:
            continue
        for homes in model.held_together(part):
            places = sorted({_place(state) for home in homes for state in model.states(part, home)})
            hold = {place: cp.new_bool_var("") for place in places}
            for place in places:
                played = [
                    literal
                    for home in homes
                    for literal in model.literals(part, home, lambda s, p=place: _place(s) == p)
                ]
                cp.add(literal_sum(played) <= len(homes) * hold[place])
                cp.add(hold[place] <= literal_sum(played))
                for literal in played:
                    cp.add_implication(literal, hold[place])
            strings = sorted({string for string, _ in places})
            used = {string: literal_sum([hold[place] for place in places if place[0] == string]) for string in strings}
            for string in strings:
                cp.add(used[string] <= 1)
            for high, between, low in combinations(range(strings[0], strings[-1] + 1), 3):
                if high in used and low in used:
                    cp.add(used[high] + used[low] - used.get(between, 0) <= 1)
            for one, other in combinations(places, 2):
                apart = one[0] != other[0]
                same_pitch = pitch_at(one, part.instrument) == pitch_at(other, part.instrument)
                if apart and (same_pitch or not _fits(part.instrument, one[1], other[1])):
                    cp.add_bool_or(hold[one].negated(), hold[other].negated())
            for shape in _too_many_fingers(part.instrument, places):
                cp.add_bool_or([hold[place].negated() for place in shape])


def _too_many_fingers(instrument: Instrument, places: list[Place]) -> list[Voicing]:
    """Shapes on neighbouring strings, one fret a string within the hand's span, that take more than four fingers."""
    by_string: dict[int, list[Place]] = {}
    for place in places:
        by_string.setdefault(place[0], []).append(place)
    found: list[Voicing] = []
    for first in sorted(by_string):
        shapes: list[Voicing] = [()]
        for string in range(first, first + len(instrument.tuning)):
            shapes = [
                (*shape, place)
                for shape in shapes
                for place in by_string.get(string, ())
                if _fits(instrument, place[1], *(fret for _, fret in shape))
            ]
            if string - first >= FINGERS:
                found += [shape for shape in shapes if fingers(shape) > FINGERS]
    return found


def breaches(heard: Heard) -> list[Breach]:
    """Chords' times whose notes no single shape on neighbouring strings holds."""
    plan, found = heard.plan, []
    for part in plan.parts:
        if not part.rings:
            continue
        held: dict[int, list] = {}
        for stroke in heard.of(part):
            held.setdefault(plan.hold_end(part, stroke.onset), []).append(stroke)
        for strokes in held.values():
            pitches = tuple(sorted({pitch for stroke in strokes for pitch in stroke.pitches}))
            if assign_strings(pitches, part.instrument, part.instrument.hand_span, neighbouring=True) is None:
                why = f"no hand on {part.instrument.name} holds these notes on neighbouring strings at once"
                found.append(Breach(NAME, part.name, strokes[0].onset, why))
    return found


RULE = Rule(NAME, breaches, allows_move=allows_move, post=post)
