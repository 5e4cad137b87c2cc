"""A broken chord is a held shape played string by string.

While a chord lasts the hand stays: each string has one fret, the strings that are used are neighbours, and the
fretted ones lie within the hand's span. So every string rings on until it is played again or the chord changes. A
repeat is played on the strings of its first statement, the varied bar excepted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard, Stroke
from solver.music.fretboard import FINGERS, Place, hand_shapes, pitch_at
from solver.music.instruments import Instrument
from solver.rules.rule import Breach, Rule, literal_sum
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel
    from solver.search.moves import Literal

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
            post_fingers(model, hold)


def post_fingers(model: PitchModel, hold: Mapping[Place, Literal]) -> None:
    """At most four fingers, counted as ``fingers`` counts them: string by string, and a finger that presses a fret
    presses it on the next string too unless a string between sounds lower."""
    cp = model.cp
    strings = sorted({string for string, fret in hold if fret})
    if len(strings) <= FINGERS:
        return
    put: list[Literal] = []
    pressing: dict[int, Literal] = {}
    for string in range(strings[0], strings[-1] + 1):
        here = {fret: literal for (at, fret), literal in hold.items() if at == string}
        for fret, literal in here.items():
            if fret in pressing:
                put.append(cp.new_bool_var(""))
                cp.add_bool_or([put[-1], literal.negated(), pressing[fret]])
                cp.add_implication(put[-1], literal)
                cp.add_implication(put[-1], pressing[fret].negated())
            elif fret:
                put.append(literal)
        reaching: dict[int, Literal] = {}
        for fret in sorted({*pressing, *here} - {0}):
            before = [fingers[fret] for fingers in (pressing, here) if fret in fingers]
            lower = [literal for other, literal in here.items() if other < fret]
            reaching[fret] = cp.new_bool_var("")
            cp.add_bool_or([reaching[fret].negated(), *before])
            for literal in lower:
                cp.add_implication(reaching[fret], literal.negated())
            for literal in before:
                cp.add_bool_or([reaching[fret], literal.negated(), *lower])
        pressing = reaching
    cp.add(literal_sum(put) <= FINGERS)


def breaches(heard: Heard) -> list[Breach]:
    """Chords' times whose notes no single shape on neighbouring strings holds, repeats on the strings that they had."""
    found = []
    for part in heard.plan.parts:
        if part.rings:
            times = _held_times(heard, part)
            alone = [time for time in times if not _shapes(part, time)]
            why = f"no hand on {part.instrument.name} holds these notes on neighbouring strings at once"
            found += [Breach(NAME, part.name, time[0].onset, why) for time in alone]
            stuck = None if alone else _first_on_other_strings(heard.plan, part, times)
            if stuck is not None:
                why = "no hand holds these notes on the strings on which their first statement is held"
                found.append(Breach(NAME, part.name, stuck[0].onset, why))
    return found


def _held_times(heard: Heard, part: PartPlan) -> list[list[Stroke]]:
    """The strokes of a broken chord between the same chord changes."""
    held: dict[int, list[Stroke]] = {}
    for stroke in heard.of(part):
        held.setdefault(heard.plan.hold_end(part, stroke.onset), []).append(stroke)
    return list(held.values())


def _shapes(part: PartPlan, strokes: Sequence[Stroke]) -> list[dict[int, Place]]:
    """Every way to hold the strokes' notes at once: the place of each pitch."""
    pitches = tuple(sorted({pitch for stroke in strokes for pitch in stroke.pitches}))
    shapes = hand_shapes(pitches, part.instrument, part.instrument.hand_span, neighbouring=True)
    return [dict(zip(pitches, shape, strict=True)) for shape in shapes]


def _first_on_other_strings(plan: Plan, part: PartPlan, times: Sequence[list[Stroke]]) -> list[Stroke] | None:
    """The first time that cannot be held with each repeated note where its first statement has it; None where all can.

    The varied bar has strings of its own.
    """
    own = plan.tail_start(part) if part.vary_notes[1] > 0 else plan.slots
    # Ways to hold a time's statements so far, by where the time lies in the statement: place of (home slot, pitch).
    ways: dict[int, list[dict[tuple[int, int], Place]]] = {}
    for strokes in times:
        onset = strokes[0].onset
        lies = plan.hold_end(part, onset) - onset + plan.home_slot(part, onset)
        held = [
            {
                (plan.home_slot(part, stroke.onset), pitch): shape[pitch]
                for stroke in strokes
                if stroke.onset < own
                for pitch in stroke.pitches
            }
            for shape in _shapes(part, strokes)
        ]
        before = ways.get(lies, [{}])
        agreed = [
            way | here for way in before for here in held if all(way.get(key, here[key]) == here[key] for key in here)
        ]
        if not agreed:
            return strokes
        ways[lies] = list({tuple(sorted(way.items())): way for way in agreed}.values())
    return None


RULE = Rule(NAME, breaches, allows_move=allows_move, post=post)
